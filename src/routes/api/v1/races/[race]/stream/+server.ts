import { succeeded } from '$lib/domain/outcome.ts';
import { ROLES } from '$lib/domain/wire.ts';
import { raceEndpoint } from '$lib/server/endpoint.ts';
import { openStream } from '$lib/server/stream.ts';

export const GET = raceEndpoint(ROLES, ({ hub, caller }) =>
  Promise.resolve(
    succeeded(
      new Response(openStream(hub, caller), {
        headers: { 'content-type': 'text/event-stream', 'cache-control': 'no-store' },
      }),
    ),
  ),
);
