import * as v from 'valibot';
import { describe, expect, it } from 'vitest';
import { HubClient } from './hub-client.ts';
import type { Surroundings } from './surroundings.ts';

const numbers = v.object({ numbers: v.array(v.number()) });

/** A client whose hub answers so. */
function client(body: string | null, status = 200, headers: Record<string, string> = {}): HubClient {
  const surroundings: Surroundings = {
    fetch: async () => new Response(body, { status, headers }),
    now: () => 0,
    random: () => 0,
    randomBytes: (bytes) => bytes,
    setTimer: () => () => undefined,
  };
  return new HubClient(surroundings);
}

describe('an answer of the hub', () => {
  it('is read by its schema', async () => {
    expect(await client('{"numbers":[1,2]}').call({ path: '/', answer: numbers })).toEqual({
      ok: true,
      value: { numbers: [1, 2] },
    });
    for (const strange of ['{"numbers":["1"]}', '<html>', ''])
      expect(await client(strange).call({ path: '/', answer: numbers })).toEqual({
        ok: false,
        error: { type: 'strange-answer', status: 200 },
      });
  });

  it('may have no body where none is expected', async () => {
    const erased = await client(null, 204).call({ path: '/', method: 'DELETE', answer: v.unknown() });
    expect(erased).toEqual({ ok: true, value: undefined });
  });

  it('is read faster where that is possible, by the schema else', async () => {
    const quick = {
      path: '/',
      answer: numbers,
      readText: (text: string) => (text === '1' ? { numbers: [1] } : undefined),
    };
    expect(await client('1').call(quick)).toEqual({ ok: true, value: { numbers: [1] } });
    expect(await client('{"numbers":[2]}').call(quick)).toEqual({ ok: true, value: { numbers: [2] } });
    expect(await client('2').call(quick)).toMatchObject({ ok: false });
  });

  it('refuses in the hub’s own words alone', async () => {
    const refusal = '{"error":{"code":"wrong-role","message":"Not for observers."}}';
    const call = { path: '/', answer: numbers };
    expect(await client(refusal, 403).call(call)).toEqual({
      ok: false,
      error: { type: 'refused', status: 403, code: 'wrong-role', message: 'Not for observers.' },
    });
    expect(await client('<html>', 403).call(call)).toMatchObject({ error: { type: 'strange-answer' } });
    expect(await client('<html>', 502).call(call)).toMatchObject({ error: { type: 'hub-failing' } });
    const busy = '{"error":{"code":"slow-down","message":"Later."}}';
    expect(await client(busy, 429, { 'retry-after': '7' }).call(call)).toMatchObject({ error: { waitMs: 7000 } });
  });
});
