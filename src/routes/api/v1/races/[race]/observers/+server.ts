import { succeeded } from '$lib/records/attempt.ts';
import { listCodesInUse } from '$lib/server/join/devices.ts';
import { answer, raceEndpoint } from '$lib/server/endpoint.ts';

/** Whoever takes a station may know whose code is taken already; nothing else of the other devices. */
export const GET = raceEndpoint(['organiser', 'analyst', 'observer'], async ({ hub, caller }) =>
  succeeded(answer(await listCodesInUse(hub.db, caller.raceNo))),
);
