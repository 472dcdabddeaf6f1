import { succeeded } from '$lib/records/attempt.ts';
import { liftSchema } from '$lib/wire/wire.ts';
import { answer, raceEndpoint, readJson } from '$lib/server/endpoint.ts';
import { liftLimit, WHOLE_RACE } from '$lib/server/limits/lifted-limits.ts';

export const GET = raceEndpoint(['organiser'], async ({ hub, caller }) =>
  succeeded(answer(await hub.heldUp.list(caller.raceNo, hub.now()))),
);

export const POST = raceEndpoint(['organiser'], async ({ hub, caller, event }) => {
  const wish = await readJson(event.request, liftSchema);
  if (!wish.ok) return wish;
  await hub.adapter.write((tx) => liftLimit(tx, caller.raceNo, wish.value.device ?? WHOLE_RACE));
  const whose = wish.value.device === null ? 'the race' : JSON.stringify(wish.value.device);
  hub.security.done('limit-lifted', caller.raceId, caller.device, `of ${whose}`);
  return succeeded(answer(await hub.heldUp.list(caller.raceNo, hub.now())));
});
