import { succeeded } from '$lib/domain/outcome.ts';
import { listDevices } from '$lib/server/devices.ts';
import { answer, raceEndpoint } from '$lib/server/endpoint.ts';

export const GET = raceEndpoint(['organiser', 'analyst'], async ({ hub, caller }) =>
  succeeded(answer(await listDevices(hub.db, caller.raceNo))),
);
