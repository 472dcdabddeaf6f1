import { succeeded } from '$lib/records/attempt.ts';
import { listDevices } from '$lib/server/join/devices.ts';
import { answer, raceEndpoint } from '$lib/server/endpoint.ts';

export const GET = raceEndpoint(['organiser', 'analyst'], async ({ hub, caller }) =>
  succeeded(answer(await listDevices(hub.db, caller.raceNo))),
);
