import { succeeded } from '$lib/records/outcome.ts';
import { renewCodesSchema } from '$lib/wire/wire.ts';
import { renewCodes } from '$lib/server/join/codes.ts';
import { answer, raceEndpoint, readJson } from '$lib/server/endpoint.ts';
import { raceCodes } from '$lib/server/lists/races.ts';

export const GET = raceEndpoint(['organiser'], async ({ hub, caller }) =>
  succeeded(answer(await raceCodes(hub, caller))),
);

export const POST = raceEndpoint(['organiser'], async ({ hub, caller, event }) => {
  const wish = await readJson(event.request, renewCodesSchema);
  return wish.ok ? succeeded(answer(await renewCodes(hub, caller, wish.value.renew))) : wish;
});
