import { succeeded } from '$lib/records/attempt.ts';
import { raceSchema } from '$lib/race/race.ts';
import { ROLES } from '$lib/records/roles.ts';
import { eraseSchema } from '$lib/wire/wire.ts';
import { answer, raceEndpoint, readJson } from '$lib/server/endpoint.ts';
import { changeRace, eraseRaceOnHub, readRace } from '$lib/server/lists/races.ts';

export const GET = raceEndpoint(ROLES, async ({ hub, caller }) => {
  const race = await readRace(hub, caller);
  return race.ok ? succeeded(answer(race.value)) : race;
});

export const PUT = raceEndpoint(['organiser'], async ({ hub, caller, event }) => {
  const race = await readJson(event.request, raceSchema);
  if (!race.ok) return race;
  const changed = await changeRace(hub, caller, race.value);
  return changed.ok ? succeeded(answer(changed.value)) : changed;
});

export const DELETE = raceEndpoint(['organiser'], async ({ hub, caller, event }) => {
  const typed = await readJson(event.request, eraseSchema);
  if (!typed.ok) return typed;
  const erased = await eraseRaceOnHub(hub, caller, typed.value.name);
  if (erased.ok) hub.security.done('race-erased', caller.raceId, caller.device);
  return erased.ok ? succeeded(new Response(null, { status: 204 })) : erased;
});
