import { succeeded } from '$lib/records/attempt.ts';
import { answer, raceEndpoint } from '$lib/server/endpoint.ts';
import { fault } from '$lib/server/fault.ts';
import { listRefused } from '$lib/server/push/refused.ts';

export const GET = raceEndpoint(['organiser'], async ({ hub, caller, event }) => {
  const after = event.url.searchParams.get('after') ?? '0';
  if (!/^\d{1,15}$/.test(after)) return fault('malformed', 'after: expected the number of a refused record.');
  return succeeded(answer(await listRefused(hub.db, caller.raceNo, Number(after))));
});
