import { succeeded } from '$lib/domain/outcome.ts';
import { answer, raceEndpoint } from '$lib/server/endpoint.ts';
import { listTokens } from '$lib/server/tokens.ts';

export const GET = raceEndpoint(['organiser'], async ({ hub, caller }) =>
  succeeded(answer(await listTokens(hub, caller))),
);
