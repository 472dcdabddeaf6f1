import type { Race } from '../../../src/lib/race/race.ts';
import type { Sighting, TallyRecord } from '../../../src/lib/records/record.ts';
import type { Joined, OpenedRace, Pulled } from '../../../src/lib/wire/wire.ts';

export const ORGANISER_KEY = 'invented-organiser-key-0123';

export interface Answer {
  status: number;
  headers: Headers;
  /** The body's JSON, null when it is empty. */
  body: unknown;
}

/** Makes one call. A text or bytes as `body` are sent as they are. */
export async function call(
  url: string,
  method: string,
  path: string,
  { token, body, headers = {} }: { token?: string; body?: unknown; headers?: Record<string, string> } = {},
): Promise<Answer> {
  const answer = await fetch(`${url}/api/v1${path}`, {
    method,
    headers: {
      ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      ...(token === undefined ? {} : { authorization: `Bearer ${token}` }),
      ...headers,
    },
    ...(body === undefined ? {} : { body: typeof body === 'string' ? body : JSON.stringify(body) }),
    signal: AbortSignal.timeout(20_000),
  });
  const text = await answer.text();
  return { status: answer.status, headers: answer.headers, body: text === '' ? null : (JSON.parse(text) as unknown) };
}

let races = 0;
/** An invented race with an id of its own. */
export function inventedRace(): Race {
  races += 1;
  const tail = (Date.now() * 100 + races).toString(16).padStart(12, '0').slice(-12);
  return {
    id: `5e0f9a52-6c1e-4b0a-9d53-${tail}`,
    name: 'Invented Ten',
    date: '2026-10-04',
    checkpoints: [
      { id: 'k5', name: 'Mill', km: 5 },
      { id: 'k9', name: 'Weir', km: 9 },
    ],
  };
}

let ids = 0;
/** Ids that nothing else in the run has, later ones greater. */
export function nextId(): string {
  ids += 1;
  const ms = Date.now().toString(16).padStart(12, '0');
  return `${ms.slice(0, 8)}-${ms.slice(8)}-7000-8000-${(ids * 65_536 + (process.pid % 65_536)).toString(16).padStart(12, '0')}`;
}

export function sighting(race: string, device: string, seq: number, change: Partial<Sighting> = {}): Sighting {
  return {
    id: nextId(),
    kind: 'sighting',
    race,
    observer: 'A1',
    device,
    seq,
    madeAt: '2026-10-04T07:30:05.120Z',
    checkpoint: 'k5',
    bib: String(1 + (seq % 900)),
    left: 'rearfoot',
    right: 'midfoot',
    method: 'live',
    observedAt: '2026-10-04T07:30:05.000Z',
    ...change,
  };
}

export async function openRace(url: string, race = inventedRace()): Promise<OpenedRace> {
  const opened = await call(url, 'POST', '/races', { token: ORGANISER_KEY, body: race });
  if (opened.status !== 201) throw new Error(`the race did not open: ${opened.status}`);
  return opened.body as OpenedRace;
}

export async function join(url: string, code: string, device: string): Promise<Joined> {
  const joined = await call(url, 'POST', '/join', { body: { code, device } });
  if (joined.status !== 201) throw new Error(`${device} did not join: ${joined.status} ${JSON.stringify(joined.body)}`);
  return joined.body as Joined;
}

/** Follows the cursor from `after` until there is no more. */
export async function pullAll(
  url: string,
  race: string,
  token: string,
  after?: string,
  limit = 1000,
): Promise<{ records: TallyRecord[]; cursor: string }> {
  const records: TallyRecord[] = [];
  let cursor = after;
  for (;;) {
    const query = `limit=${limit}${cursor === undefined ? '' : `&after=${cursor}`}`;
    const { status, body } = await call(url, 'GET', `/races/${race}/records?${query}`, { token });
    if (status !== 200) throw new Error(`pull: ${status}`);
    const page = body as Pulled;
    records.push(...page.records);
    cursor = page.cursor;
    if (!page.more) return { records, cursor };
  }
}
