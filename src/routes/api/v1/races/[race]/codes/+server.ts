import { succeeded } from '$lib/records/attempt.ts';
import { renewCodesSchema } from '$lib/wire/wire.ts';
import { renewCodes } from '$lib/server/join/codes.ts';
import { answer, raceEndpoint, readJson } from '$lib/server/endpoint.ts';
import { raceCodes } from '$lib/server/lists/races.ts';

export const GET = raceEndpoint(['organiser'], async ({ hub, caller }) =>
  succeeded(answer(await raceCodes(hub, caller))),
);

export const POST = raceEndpoint(['organiser'], async ({ hub, caller, event }) => {
  const wish = await readJson(event.request, renewCodesSchema);
  if (!wish.ok) return wish;
  const codes = await renewCodes(hub, caller, wish.value.renew);
  hub.security.done('codes-renewed', caller.raceId, caller.device, `of ${wish.value.renew.join(' and ')}`);
  return succeeded(answer(codes));
});
