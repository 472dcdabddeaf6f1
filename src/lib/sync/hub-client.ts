import * as v from 'valibot';
import { failed, succeeded, type Attempt } from '../records/attempt.ts';
import { errorSchema } from '../wire/wire-error.ts';
import { HUB_CLOCK_HEADER } from '../wire/wire.ts';
import type { ClockSample } from './clock-offset.ts';
import type { Surroundings } from './surroundings.ts';

/**
 * Why a call to the hub brought nothing. `no-network`: no answer came. `hub-failing`: the hub says it cannot just now.
 * `strange-answer`: whatever answered is no hub, such as the sign-in page of a network. After these three the same call
 * is right again later, and nothing may be assumed stored. `slow-down`: the hub asks this device to wait. `refused`: the hub says no.
 */
export type HubFailure =
  | { readonly type: 'no-network' }
  | { readonly type: 'hub-failing'; readonly status: number }
  | { readonly type: 'strange-answer'; readonly status: number }
  | { readonly type: 'slow-down'; readonly waitMs: number; readonly message: string }
  | { readonly type: 'refused'; readonly status: number; readonly code: string; readonly message: string };

export interface HubRequest<Schema extends v.GenericSchema, Read = v.InferOutput<Schema>> {
  readonly path: string;
  readonly method?: 'GET' | 'POST' | 'PUT' | 'DELETE';
  readonly body?: unknown;
  readonly answer: Schema;
  /** Reads the answer faster than parsing and the schema would; undefined leaves it to these. */
  readonly readText?: (text: string) => Read | undefined;
}

const TIMEOUT_MS = 30_000;
const DEFAULT_WAIT_MS = 30_000;

/** Speaks to the hub that served this page, in the name of one token. */
export class HubClient {
  readonly #surroundings: Surroundings;
  readonly #token: string | undefined;
  readonly #onContact: (sample: ClockSample | undefined) => void;

  /** @param onContact called after every answer of the hub, with the clocks if it said its own */
  constructor(
    surroundings: Surroundings,
    token?: string,
    onContact: (sample: ClockSample | undefined) => void = () => undefined,
  ) {
    this.#surroundings = surroundings;
    this.#token = token;
    this.#onContact = onContact;
  }

  async call<Schema extends v.GenericSchema, Read = v.InferOutput<Schema>>({
    path,
    method = 'GET',
    body,
    answer,
    readText,
  }: HubRequest<Schema, Read>): Promise<Attempt<v.InferOutput<Schema> | Read, HubFailure>> {
    const sentMs = this.#surroundings.now();
    const got = await this.#exchange(path, {
      method,
      headers: this.#headers(body === undefined ? {} : { 'content-type': 'application/json' }),
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    if (!got) return failed({ type: 'no-network' });
    const { response, text } = got;
    const failure = failureOf(response, text);
    if (failure) return failed(failure);
    const quick = readText?.(text);
    const read = quick === undefined ? v.safeParse(answer, parsed(text)) : { success: true as const, output: quick };
    if (!read.success) return failed({ type: 'strange-answer', status: response.status });
    const hubMs = Number(response.headers.get(HUB_CLOCK_HEADER) ?? NaN);
    this.#onContact(Number.isFinite(hubMs) ? { sentMs, receivedMs: this.#surroundings.now(), hubMs } : undefined);
    return succeeded(read.output);
  }

  /** Opens a stream of events. It stays open until `signal` is aborted or the hub ends it. */
  async open(path: string, signal: AbortSignal): Promise<ReadableStream<Uint8Array> | undefined> {
    try {
      const headers = this.#headers({ accept: 'text/event-stream' });
      const response = await this.#surroundings.fetch(path, { headers, signal, cache: 'no-store' });
      const isStream = response.ok && response.headers.get('content-type')?.startsWith('text/event-stream');
      return isStream ? (response.body ?? undefined) : undefined;
    } catch {
      return undefined;
    }
  }

  #headers(more: Record<string, string>): Record<string, string> {
    return this.#token === undefined ? more : { ...more, authorization: `Bearer ${this.#token}` };
  }

  /** `undefined` when no whole answer came in time. */
  async #exchange(path: string, init: RequestInit): Promise<{ response: Response; text: string } | undefined> {
    const abort = new AbortController();
    const stopTimer = this.#surroundings.setTimer(TIMEOUT_MS, () => abort.abort());
    try {
      const response = await this.#surroundings.fetch(path, { ...init, signal: abort.signal, cache: 'no-store' });
      return { response, text: await response.text() };
    } catch {
      return undefined;
    } finally {
      stopTimer();
    }
  }
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return undefined;
  }
}

function failureOf(response: Response, text: string): HubFailure | undefined {
  const { status } = response;
  if (status >= 500) return { type: 'hub-failing', status };
  if (status < 400) return undefined;
  // Only the hub's own words count as its refusal: a proxy's 403 must not make a tablet give up.
  const refusal = v.safeParse(errorSchema, parsed(text));
  if (!refusal.success) return { type: 'strange-answer', status };
  const { code, message } = refusal.output.error;
  if (status !== 429) return { type: 'refused', status, code, message };
  const seconds = Number(response.headers.get('retry-after') ?? NaN);
  return { type: 'slow-down', waitMs: Number.isFinite(seconds) ? seconds * 1000 : DEFAULT_WAIT_MS, message };
}
