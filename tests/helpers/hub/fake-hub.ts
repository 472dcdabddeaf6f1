import { recordLine } from '../../../src/lib/records/canonical-record.ts';
import type { Race } from '../../../src/lib/race/race.ts';
import type { TallyRecord } from '../../../src/lib/records/record.ts';
import type { JoinMessage } from '../../../src/lib/wire/wire.ts';
import type { FakeClock } from '../fake-clock.ts';

/** A hub that keeps one race in memory and answers as the hub promises to. */
export class FakeHub {
  readonly log: TallyRecord[] = [];
  readonly calls: string[] = [];
  race: Race;
  startlist: { revision: number; rows: unknown[] } = { revision: 0, rows: [] };
  /** Whether the race is at the hub. */
  isOpen = true;
  /** Lets observers join. */
  readonly code = 'AAA-CCCC-EEE';
  readonly organiserKey = 'a key of the organiser, longer than 64 characters and with spaces in it';
  /** Devices that joined, each with its token. */
  readonly tokens = new Map<string, string>();
  results: { revision: number; rows: unknown[] } = { revision: 0, rows: [] };
  /** Its clock minus the device's. */
  offsetMs = 0;
  /** Says another answer than the usual one, for calls that it names. */
  instead: (method: string, path: string, body: unknown) => Response | undefined = () => undefined;
  readonly #clock: FakeClock;

  constructor(race: Race, clock: FakeClock) {
    this.race = { ...race, revision: 1 };
    this.#clock = clock;
  }

  /** @param token what came in `Authorization`, if anything */
  answer(path: string, method: string, body: unknown, token?: string): Response {
    this.calls.push(`${method} ${path.replace(/^.*\/races\/[^/]+/, '').replace(/\?.*/, '') || '/'}`);
    return this.instead(method, path, body) ?? this.#usual(path, method, body, token);
  }

  #usual(path: string, method: string, body: unknown, token?: string): Response {
    const url = new URL(path, 'http://hub.test');
    const what = url.pathname.split('/').at(-1);
    if (what === 'join') return this.#join(body as JoinMessage, token);
    if (what === 'races') return this.#open(body as Race, token);
    if (what === 'records' && method === 'POST') return this.#push(body as { records: TallyRecord[] });
    if (what === 'records') return this.#pull(url.searchParams);
    if (what === 'stream') return fault(503, 'unavailable');
    if (what === 'startlist' || what === 'results') return this.#list(what, method, body as FakeHub['startlist']);
    return this.#setUp(method, body as Race);
  }

  #join({ code, device, token }: JoinMessage, shown: string | undefined): Response {
    if (code !== this.code) return fault(401, 'unknown-code');
    const known = this.tokens.get(device);
    if (known !== undefined && known !== shown && known !== token) return fault(409, 'device-known');
    for (const [other, its] of this.tokens) {
      // The same tablet under a name with which it has made nothing.
      if (other !== device && its === shown && !this.log.some((r) => r.device === other)) this.tokens.delete(other);
    }
    const own = known ?? token ?? 'token-made-by-the-hub-0';
    this.tokens.set(device, own);
    return this.json({ token: own, role: 'observer', race: this.race }, 201);
  }

  #open(race: Race, key: string | undefined): Response {
    if (key !== this.organiserKey) return fault(401, 'unknown-token');
    const isNew = !this.isOpen;
    const same = JSON.stringify({ ...race, revision: 0 }) === JSON.stringify({ ...this.race, revision: 0 });
    if (!isNew && !same) return fault(409, 'race-exists');
    if (isNew) this.race = { ...race, revision: 1 };
    this.isOpen = true;
    return this.json({ race: this.race, codes: { observer: this.code, analyst: 'FFF-HHHH-JJJ' } }, isNew ? 201 : 200);
  }

  #push({ records }: { records: TallyRecord[] }): Response {
    let accepted = 0;
    let known = 0;
    const rejected: { id: string; reason: string }[] = [];
    for (const record of records) {
      const before = this.log.find((other) => other.id === record.id);
      if (!this.race.checkpoints.some((c) => !('checkpoint' in record) || c.id === record.checkpoint)) {
        rejected.push({ id: record.id, reason: 'unknown checkpoint' });
      } else if (!before) {
        this.log.push(record);
        accepted += 1;
      } else if (recordLine(before) === recordLine(record)) known += 1;
      else rejected.push({ id: record.id, reason: 'conflict' });
    }
    return this.json({ accepted, known, rejected, cursor: `c${this.log.length}` });
  }

  #pull(query: URLSearchParams): Response {
    const from = Number(query.get('after')?.slice(1) ?? 0);
    if (from > this.log.length) return fault(400, 'unknown-cursor');
    const records = this.log.slice(from, from + Math.min(7, Number(query.get('limit'))));
    const end = from + records.length;
    return this.json({ records, cursor: `c${end}`, more: end < this.log.length });
  }

  #list(what: 'startlist' | 'results', method: string, list: FakeHub['startlist']): Response {
    const held = this[what];
    if (method === 'GET') return this.json(held);
    if (JSON.stringify(held.rows) !== JSON.stringify(list.rows)) {
      if (list.revision !== held.revision) return fault(409, 'revision');
      this[what] = { revision: held.revision + 1, rows: list.rows };
    }
    return this.json({ revision: this[what].revision });
  }

  #setUp(method: string, race: Race): Response {
    if (method === 'GET') return this.json(this.race);
    if (race.revision !== this.race.revision) return fault(409, 'revision');
    this.race = { ...race, revision: (race.revision ?? 0) + 1 };
    return this.json(this.race);
  }

  json(value: unknown, status = 200): Response {
    return new Response(JSON.stringify(value), {
      status,
      headers: { 'content-type': 'application/json', 'kerbside-clock': String(this.#clock.now() + this.offsetMs) },
    });
  }
}

/** A refusal in the hub's form. */
export function fault(status: number, code: string, headers: Record<string, string> = {}): Response {
  return new Response(JSON.stringify({ error: { code, message: `says ${code}` } }), { status, headers });
}

/** How bad a network is: chances from 0 to 1. */
export interface Weather {
  /** The call never arrives. */
  readonly dropCall: number;
  /** The call arrives, its answer never does. */
  readonly dropAnswer: number;
  /** The call arrives twice, the second time later: behind calls that were made after it. */
  readonly twice: number;
  readonly longestDelayMs: number;
}

export const FAIR: Weather = { dropCall: 0, dropAnswer: 0, twice: 0, longestDelayMs: 0 };

/** A `fetch` that reaches the hub through a network as bad as `weather()` says at the time. */
export function networkTo(hub: FakeHub, clock: FakeClock, random: () => number, weather: () => Weather) {
  return async (path: string, init: RequestInit): Promise<Response> => {
    const { dropCall, dropAnswer, twice, longestDelayMs } = weather();
    const method = init.method ?? 'GET';
    const body: unknown = typeof init.body === 'string' ? JSON.parse(init.body) : undefined;
    const aborted = new Promise<never>((_, reject) => {
      init.signal?.addEventListener('abort', () => reject(new DOMException('aborted', 'AbortError')));
    });
    aborted.catch(() => undefined);
    const wait = () => Promise.race([clock.sleep(random() * longestDelayMs), aborted]);
    if (longestDelayMs > 0) await wait();
    if (random() < dropCall) throw new TypeError('failed to fetch');
    const token = new Headers(init.headers).get('authorization')?.replace(/^Bearer /, '');
    const answer = hub.answer(path, method, body, token);
    if (random() < twice) {
      clock.setTimer(random() * 20 * longestDelayMs, () => void hub.answer(path, method, body, token));
    }
    if (longestDelayMs > 0) await wait();
    if (random() < dropAnswer) throw new TypeError('failed to fetch');
    return answer;
  };
}
