import type { RequestEvent } from '@sveltejs/kit';
import type * as v from 'valibot';
import { type Attempt, succeeded } from '../records/attempt.ts';
import type { Role } from '../records/roles.ts';
import { ERROR_STATUS, type WireError } from '../wire/wire-error.ts';
import { MAX_BODY_BYTES } from '../wire/wire.ts';
import { type Caller, identify, organiserOnly } from './join/caller.ts';
import { type Fault, fault } from './fault.ts';
import { countCancelled, isCancelled } from './cancelled-uploads.ts';
import type { Adapter } from './database/adapter.ts';
import type { Hub } from './hub.ts';
import { parseJson } from './parse-json.ts';

/** A call that was understood and may be made. */
export interface Call {
  readonly hub: Hub;
  readonly event: RequestEvent;
}

/** When to try again after the store failed. */
const RETRY_AFTER_S = 2;
/** Of a body that is refused, what is read before the connection is cut. */
const MOST_DISCARDED_BYTES = 64 * 1024 * 1024;
const HEADERS = { 'content-type': 'application/json; charset=utf-8', 'cache-control': 'no-store' };

/** An answer whose body is JSON already. */
export function answerText(text: string | ReadableStream<Uint8Array>, status = 200): Response {
  return new Response(text, { status, headers: HEADERS });
}

export function answer(value: unknown, status = 200): Response {
  return answerText(JSON.stringify(value), status);
}

/** A fault in the form in which every fault is answered. */
export function answerFault({ type, message, retryAfterS }: Fault): Response {
  const response = answer({ error: { code: type, message } } satisfies WireError, ERROR_STATUS[type]);
  if (retryAfterS !== undefined) response.headers.set('retry-after', String(retryAfterS));
  return response;
}

type Handler = (event: RequestEvent) => Promise<Response>;

/** Makes a handler of `work`, which answers or says what is at fault. What it throws is answered with 5xx. */
export function endpoint(work: (call: Call) => Promise<Attempt<Response, Fault>>): Handler {
  return async (event) => {
    try {
      const outcome = await work({ hub: event.locals.hub, event });
      if (outcome.ok) return outcome.value;
      const call = `${event.request.method} ${event.route.id ?? ''}`;
      event.locals.hub.security.refused(outcome.error.type, call, event.getClientAddress());
      return answerFault(outcome.error);
    } catch (error) {
      if (isCancelled(event.request, error)) countCancelled();
      else console.error(error);
      return answerFault(storeFault(event.locals.hub.adapter, error));
    }
  };
}

/** A call about the race in the path, for the named roles. */
export function raceEndpoint(
  roles: readonly Role[],
  work: (call: Call & { readonly caller: Caller }) => Promise<Attempt<Response, Fault>>,
): Handler {
  return endpoint(async (call) => {
    const caller = await identify(call.hub, call.event.request, call.event.params['race'] ?? '', roles);
    return caller.ok ? work({ ...call, caller: caller.value }) : caller;
  });
}

/** A call about no race in particular, for the organiser. */
export function organiserEndpoint(work: (call: Call) => Promise<Attempt<Response, Fault>>): Handler {
  return endpoint(async (call) => {
    const allowed = organiserOnly(call.hub, call.event.request);
    return allowed.ok ? work(call) : allowed;
  });
}

/** What the store's error means for the caller; its details stand in the hub's own log. */
function storeFault(adapter: Adapter, error: unknown): Fault {
  if (!adapter.cannotStore(error)) {
    return { type: 'internal', message: 'The hub failed. Assume that nothing was stored, and send it again.' };
  }
  const message = 'The hub cannot store just now. Nothing was taken: send it again later.';
  return { type: 'unavailable', message, retryAfterS: RETRY_AFTER_S };
}

/** Reads a JSON body of at most `maxBytes` and holds it against a schema. */
export async function readJson<S extends v.GenericSchema>(
  request: Request,
  schema: S,
  maxBytes = MAX_BODY_BYTES,
): Promise<Attempt<v.InferOutput<S>, Fault>> {
  const text = await readJsonText(request, maxBytes);
  return text.ok ? parseJson(text.value, schema) : text;
}

/** Reads a body that says it is JSON, of at most `maxBytes`, without parsing it. */
export async function readJsonText(request: Request, maxBytes = MAX_BODY_BYTES): Promise<Attempt<string, Fault>> {
  const type = request.headers.get('content-type') ?? '';
  if (!/^application\/json\s*(;|$)/i.test(type)) return fault('not-json', 'Send the body as application/json.');
  return readText(request, maxBytes);
}

async function readText(request: Request, maxBytes: number): Promise<Attempt<string, Fault>> {
  if (!request.body) return succeeded('');
  const reader = request.body.getReader();
  const tooLarge = () => {
    // The rest is left for `readRest`.
    reader.releaseLock();
    return fault('too-large', `The body is larger than ${maxBytes / 1024 / 1024} MiB.`);
  };
  if (Number(request.headers.get('content-length') ?? 0) > maxBytes) return tooLarge();
  const chunks: Uint8Array[] = [];
  let bytes = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    bytes += value.length;
    if (bytes > maxBytes) return tooLarge();
    chunks.push(value);
  }
  try {
    return succeeded(new TextDecoder('utf-8', { fatal: true }).decode(Buffer.concat(chunks)));
  } catch {
    return fault('malformed', 'The body is not UTF-8.');
  }
}

/**
 * Lets what nobody has read of a body run past before the answer goes out: many clients read no answer before all is sent,
 * cutting the connection would take the answer with it, and leaving the rest would spoil the next call on it.
 *
 * @returns whether there was a rest: the connection is then not to be used again
 */
export async function readRest(request: Request): Promise<boolean> {
  if (!request.body || request.body.locked) return false;
  const reader = request.body.getReader();
  let bytes = 0;
  try {
    // One that does not end is cut all the same.
    while (bytes < MOST_DISCARDED_BYTES) {
      const { done, value } = await reader.read();
      if (done) break;
      bytes += value.length;
    }
  } catch {
    // The client has gone.
    return true;
  }
  return bytes > 0;
}
