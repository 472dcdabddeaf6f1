import { succeeded } from '$lib/records/attempt.ts';
import { ROLES } from '$lib/records/roles.ts';
import { raceEndpoint } from '$lib/server/endpoint.ts';
import { openStream } from '$lib/server/pull/stream.ts';

export const GET = raceEndpoint(ROLES, ({ hub, caller }) =>
  Promise.resolve(
    succeeded(
      new Response(openStream(hub, caller), {
        headers: { 'content-type': 'text/event-stream', 'cache-control': 'no-store' },
      }),
    ),
  ),
);
