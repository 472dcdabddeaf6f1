import { expect, test } from 'vitest';
import type { JoinCodes } from '../../../src/lib/wire/wire.ts';
import { faultCode, organiser, type ContractHub } from '../../helpers/hub/contract-hub.ts';
import { sighting, inventedRace } from '../../helpers/hub/hub-client.ts';

/** Opening, changing and erasing a race, its lists, and who may. */
export function racesContract(hub: ContractHub): void {
  test('opens a race once, and only for the organiser', async () => {
    const race = inventedRace();
    expect((await hub.at('POST', '/races', { body: race })).status).toBe(401);
    expect((await hub.at('POST', '/races', { body: race, token: 'not-the-key-at-all' })).status).toBe(401);
    const first = await hub.at('POST', '/races', { ...organiser, body: race });
    expect(first.status).toBe(201);
    expect(await hub.at('POST', '/races', { ...organiser, body: race })).toMatchObject({
      status: 200,
      body: first.body,
    });
    const other = await hub.at('POST', '/races', { ...organiser, body: { ...race, name: 'Another' } });
    expect([other.status, faultCode(other.body)]).toEqual([409, 'race-exists']);
    const { codes } = first.body as { codes: JoinCodes };
    // 20 signs, 10 places: 43 bits. No sign that looks like another.
    for (const code of [codes.observer, codes.analyst])
      expect(code).toMatch(/^[ACEFHJKMNPRTWXY34679]{3}-[ACEFHJKMNPRTWXY34679]{4}-[ACEFHJKMNPRTWXY34679]{3}$/);
  });

  test('takes changes of the set-up by revision, and keeps checkpoints with records', async () => {
    const { race, path, push, one } = await hub.field();
    const changed = { ...race, name: 'Renamed' };
    const { status, body } = await hub.at('PUT', path, { ...organiser, body: changed });
    expect([status, body]).toEqual([200, { ...changed, revision: 2 }]);
    expect((await hub.at('PUT', path, { ...organiser, body: changed })).status).toBe(200);
    const stale = await hub.at('PUT', path, { ...organiser, body: { ...race, name: 'Late' } });
    expect([stale.status, faultCode(stale.body)]).toEqual([409, 'revision']);
    expect((await hub.at('PUT', path, { token: one, body: changed })).status).toBe(403);
    await push(one, [sighting(race.id, 'tab-1', 1)]);
    const [mill, weir] = race.checkpoints as [{ id: string; name: string; km: number }, object];
    const without = await hub.at('PUT', path, { ...organiser, body: { ...changed, revision: 2, checkpoints: [weir] } });
    expect([without.status, faultCode(without.body)]).toEqual([409, 'checkpoint-has-records']);
    const renamed = { ...changed, revision: 2, checkpoints: [{ ...mill, name: 'Old mill' }] };
    expect((await hub.at('PUT', path, { ...organiser, body: renamed })).status).toBe(200);
    expect((await push(one, [sighting(race.id, 'tab-1', 2, { checkpoint: 'k9' })])).rejected[0]?.reason).toBe(
      'unknown checkpoint',
    );
  });

  test('gives an observer the bibs alone and no results', async () => {
    const { path, one, analyst } = await hub.field();
    const rows = [{ bib: '7', name: 'Invented Runner', sex: 'F', age: 44, team: 'None' }];
    expect(await hub.at('PUT', `${path}/startlist`, { ...organiser, body: { revision: 0, rows } })).toMatchObject({
      status: 200,
      body: { revision: 1 },
    });
    expect((await hub.at('PUT', `${path}/startlist`, { ...organiser, body: { revision: 0, rows: [] } })).status).toBe(
      409,
    );
    expect((await hub.at('GET', `${path}/startlist`, { token: one })).body).toEqual({
      revision: 1,
      rows: [{ bib: '7' }],
    });
    expect((await hub.at('GET', `${path}/startlist`, { token: analyst })).body).toEqual({ revision: 1, rows });
    expect(
      (
        await hub.at('PUT', `${path}/results`, {
          ...organiser,
          body: { revision: 0, rows: [{ bib: '7', finish: 2400 }] },
        })
      ).status,
    ).toBe(200);
    expect((await hub.at('GET', `${path}/results`, { token: one })).status).toBe(403);
    expect((await hub.at('GET', `${path}/results`, { token: analyst })).status).toBe(200);
    for (const call of ['devices', 'codes', 'tokens', 'refused']) {
      expect((await hub.at('GET', `${path}/${call}`, { token: one })).status, call).toBe(403);
    }
  });

  test('erases a race whose name is typed, and nothing else', async () => {
    const { race, path, push, one } = await hub.field();
    const other = await hub.field();
    const { cursor } = await push(one, [sighting(race.id, 'tab-1', 1)]);
    expect((await hub.at('DELETE', path, { token: one, body: { name: race.name } })).status).toBe(403);
    expect((await hub.at('DELETE', path, { ...organiser, body: { name: race.name } })).status).toBe(204);
    expect((await hub.at('GET', path, organiser)).status).toBe(404);
    expect((await hub.at('GET', path, { token: one })).status).toBe(401);
    expect((await hub.at('GET', other.path, { token: other.one })).status).toBe(200);
    // Opened again it is another log, which gave none of the old one's cursors: their holders start from the first record.
    expect((await hub.at('POST', '/races', { ...organiser, body: race })).status).toBe(201);
    const old = await hub.at('GET', `${path}/records?after=${cursor}`, organiser);
    expect([old.status, faultCode(old.body)]).toEqual([400, 'unknown-cursor']);
  });
}
