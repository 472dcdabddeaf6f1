import { succeeded } from '$lib/records/attempt.ts';
import { raceSchema } from '$lib/race/race.ts';
import type { OpenedRace } from '$lib/wire/wire.ts';
import { answer, organiserEndpoint, readJson } from '$lib/server/endpoint.ts';
import { listRacesOnHub, openRace } from '$lib/server/lists/races.ts';

export const GET = organiserEndpoint(async ({ hub }) => succeeded(answer(await listRacesOnHub(hub))));

export const POST = organiserEndpoint(async ({ hub, event }) => {
  const race = await readJson(event.request, raceSchema);
  if (!race.ok) return race;
  const opened = await openRace(hub, race.value);
  if (!opened.ok) return opened;
  const { made, ...told } = opened.value;
  if (made) hub.security.done('race-opened', told.race.id, null);
  return succeeded(answer(told satisfies OpenedRace, made ? 201 : 200));
});
