import { type Attempt, succeeded } from '$lib/records/attempt.ts';
import { ROLES } from '$lib/records/roles.ts';
import { DEFAULT_PULL_RECORDS, MAX_PULL_RECORDS } from '$lib/wire/wire.ts';
import { noteReading } from '$lib/server/join/devices.ts';
import { answer, answerText, raceEndpoint, readJsonText } from '$lib/server/endpoint.ts';
import { type Fault, fault, slowDown } from '$lib/server/fault.ts';
import { pageStream } from '$lib/server/pull/page-stream.ts';
import { pullPieces } from '$lib/server/pull/pull.ts';
import { readPush } from '$lib/server/push/read-push.ts';

export const POST = raceEndpoint(ROLES, async ({ hub, caller, event }) => {
  const { raceNo, raceId, role, device } = caller;
  if (role === 'observer') {
    // Before anything of it is read.
    const met = await hub.limits.ofPush(hub.db, caller, hub.now());
    if (met) return hub.heldUp.refuse(raceNo, device, met, hub.now());
  }
  const text = await readJsonText(event.request);
  if (!text.ok) return text;
  const message = readPush(text.value);
  if (!message.ok) return message;
  if (role === 'observer') hub.limits.pushed(caller, message.value.records.length, hub.now());
  const pushed = await hub.pushes.push({ raceNo, raceId, bringer: caller, message: message.value, now: hub.now() });
  return pushed.ok ? succeeded(answer(pushed.value)) : pushed;
});

export const GET = raceEndpoint(ROLES, async ({ hub, caller, event }) => {
  const limit = wantedLimit(event.url.searchParams.get('limit'));
  if (!limit.ok) return limit;
  const after = event.url.searchParams.get('after') ?? undefined;
  if (caller.device !== null) await noteReading(hub.adapter, caller.raceNo, caller.device, hub.now());
  // The organiser key may be in many hands.
  const ended = await hub.pulls.take(caller.tokenHash ?? event.getClientAddress());
  if (!ended) return slowDown('This device has too many pages under way: read them first.');
  try {
    const request = { raceNo: caller.raceNo, bringer: caller, after, limit: limit.value };
    const page = await pullPieces(hub.adapter, request);
    if (page.ok)
      return succeeded(answerText(await pageStream(page.value, ended, () => event.platform?.req.socket.destroy())));
    ended();
    return page;
  } catch (error) {
    ended();
    throw error;
  }
});

function wantedLimit(text: string | null): Attempt<number, Fault> {
  if (text === null) return succeeded(DEFAULT_PULL_RECORDS);
  if (!/^[1-9]\d{0,8}$/.test(text)) return fault('malformed', 'limit: expected a whole number from 1.');
  return succeeded(Math.min(Number(text), MAX_PULL_RECORDS));
}
