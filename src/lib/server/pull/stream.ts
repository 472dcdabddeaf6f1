import { type Caller, stillValid } from '../join/caller.ts';
import type { Change } from '../lists/change.ts';
import { noteReading } from '../join/devices.ts';
import type { Hub } from '../hub.ts';
import { endCursor } from './pull.ts';

/** Changes within this time are told together: two hundred listeners must not each be woken by every tap. */
const GATHER_MS = 200;
const HEARTBEAT_MS = 15_000;
/** What may lie unread in a connection before it is closed; its client comes back and pulls. */
const MOST_UNREAD = 64;

/** Server-sent events for one caller, until the caller leaves, its token is revoked or the hub stops. */
export function openStream(hub: Hub, caller: Caller): ReadableStream<Uint8Array> {
  const encoder = new TextEncoder();
  let stop = (): void => undefined;
  return new ReadableStream<Uint8Array>(
    {
      start(controller) {
        let gathering: NodeJS.Timeout | undefined;
        let open = true;
        const send = (text: string): void => {
          if (!open) return;
          if ((controller.desiredSize ?? 0) <= -MOST_UNREAD) stop();
          else controller.enqueue(encoder.encode(text));
        };
        const sendCursor = async (): Promise<void> => {
          const cursor = await endCursor(hub.db, caller.raceNo);
          if (cursor === null) stop();
          else send(`event: records\ndata: {"cursor":"${cursor}"}\n\n`);
        };
        const guard = (work: Promise<void>): void => {
          // A store that is away for a moment: the client comes back and pulls.
          work.catch(() => stop());
        };
        const gather = (): void => {
          gathering ??= setTimeout(() => {
            gathering = undefined;
            guard(sendCursor());
          }, GATHER_MS);
        };
        const heartbeat = async (): Promise<void> => {
          if (!(await stillValid(hub, caller))) return stop();
          if (caller.device !== null) await noteReading(hub.adapter, caller.raceNo, caller.device, hub.now());
          send(': still here\n\n');
        };
        const silence = hub.adapter.listen((change) => {
          if (change === null) gather();
          else if (change.raceNo !== caller.raceNo) return;
          else if (change.kind === 'setup') sendSetup(change, caller, send);
          else if (concerns(change, caller)) gather();
        });
        const beat = setInterval(() => guard(heartbeat()), HEARTBEAT_MS);
        stop = () => {
          if (!open) return;
          open = false;
          clearTimeout(gathering);
          clearInterval(beat);
          silence();
          openStreams.delete(stop);
          try {
            controller.close();
          } catch {
            // The client has gone already.
          }
        };
        openStreams.add(stop);
        guard(sendCursor());
      },
      cancel() {
        stop();
      },
    },
    { highWaterMark: 16 },
  );
}

const openStreams = new Set<() => void>();

/** Ends every stream, so that the process can stop. */
export function closeStreams(): void {
  for (const stop of [...openStreams]) stop();
}

function sendSetup(change: Extract<Change, { kind: 'setup' }>, caller: Caller, send: (text: string) => void): void {
  if (change.what === 'results' && caller.role === 'observer') return;
  send(`event: setup\ndata: ${JSON.stringify({ what: change.what, revision: change.revision })}\n\n`);
}

function concerns(change: Extract<Change, { kind: 'records' }>, caller: Caller): boolean {
  return caller.role !== 'observer' || change.devices === null || change.devices.includes(caller.device ?? '');
}
