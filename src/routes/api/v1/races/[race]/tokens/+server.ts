import { succeeded } from '$lib/records/outcome.ts';
import { answer, raceEndpoint } from '$lib/server/endpoint.ts';
import { listTokens } from '$lib/server/join/tokens.ts';

export const GET = raceEndpoint(['organiser'], async ({ hub, caller }) =>
  succeeded(answer(await listTokens(hub, caller))),
);
