import { afterAll, beforeAll, expect } from 'vitest';
import type { JoinCodes, Pushed } from '../../../src/lib/wire/wire.ts';
import type { Race } from '../../../src/lib/race/race.ts';
import { freePort } from '../free-port.ts';
import { call, join, openRace, ORGANISER_KEY, type Answer } from './hub-client.ts';
import { startHub } from './start-hub.mjs';

export const organiser = { token: ORGANISER_KEY };

/** A race with two observers, `tab-1` and `tab-2`, and an analyst; each has its token. */
export interface ContractField {
  readonly race: Race;
  readonly codes: JoinCodes;
  /** `/races/…` */
  readonly path: string;
  readonly one: string;
  readonly two: string;
  readonly analyst: string;
  /** Pushes records, and whatever else the message is to say. */
  readonly push: (token: string, records: unknown[], more?: object) => Promise<Pushed>;
}

/** The running hub that the tests of its contract share. */
export interface ContractHub {
  readonly store: 'sqlite' | 'postgres';
  readonly url: string;
  /** Its data folder. */
  readonly data: string;
  /** Makes one call; `path` without `/api/v1`. */
  at(method: string, path: string, options?: Parameters<typeof call>[3]): Promise<Answer>;
  /** Opens a new race. */
  field(): Promise<ContractField>;
}

/** A hub for the tests of the `describe` that calls this; it runs once they do. */
export function contractHub(store: ContractHub['store'], newDatabase: () => Promise<string>): ContractHub {
  let hub: Awaited<ReturnType<typeof startHub>>;

  beforeAll(async () => {
    const env: Record<string, string> = store === 'postgres' ? { DATABASE_URL: await newDatabase() } : {};
    hub = await startHub({ port: await freePort(), key: ORGANISER_KEY, env });
  }, 60_000);

  afterAll(() => hub.end());

  const at: ContractHub['at'] = (method, path, options = {}) => call(hub.url, method, path, options);

  async function field(): Promise<ContractField> {
    const { race, codes } = await openRace(hub.url);
    const [one, two, analyst] = await Promise.all([
      join(hub.url, codes.observer, 'tab-1'),
      join(hub.url, codes.observer, 'tab-2'),
      join(hub.url, codes.analyst, 'desk'),
    ]);
    const path = `/races/${race.id}`;
    const push = async (token: string, records: unknown[], more: object = {}) => {
      const { status, body } = await at('POST', `${path}/records`, { token, body: { records, ...more } });
      expect(status).toBe(200);
      return body as Pushed;
    };
    return { race, codes, path, push, one: one.token, two: two.token, analyst: analyst.token };
  }

  return {
    store,
    get url() {
      return hub.url;
    },
    get data() {
      return hub.data;
    },
    at,
    field,
  };
}

/** `code` of a fault, and that it comes in the one form of faults. */
export function faultCode(body: unknown): string {
  const { error } = body as { error: { code: string; message: string } };
  expect(Object.keys(body as object)).toEqual(['error']);
  expect(error.message).not.toBe('');
  return error.code;
}
