import { setTimeout as sleep } from 'node:timers/promises';
import type { TallyRecord } from '../../../src/lib/records/record.ts';
import type { Pushed } from '../../../src/lib/wire/wire.ts';
import { call, join, openRace, ORGANISER_KEY, pullAll, sighting } from './hub-client.ts';

interface RunningHub {
  readonly url: string;
  start(): Promise<void>;
  kill(): Promise<void>;
}

export interface KillRun {
  readonly pushed: number;
  readonly acknowledged: number;
  readonly held: number;
  readonly missingAcknowledged: number;
  readonly twice: number;
  readonly notPushed: number;
  readonly kills: number;
}

/**
 * Devices push their records in batches, each batch until it is acknowledged, while hubs are killed at random moments and
 * started again. Device i speaks to hub i modulo their number, and to the next one when that does not answer.
 *
 * @param random gives numbers from 0 to 1
 */
export async function killWhilePushing(
  hubs: readonly RunningHub[],
  { devices, perDevice, batch, kills }: { devices: number; perDevice: number; batch: number; kills: number },
  random: () => number,
): Promise<KillRun> {
  const [first] = hubs as [RunningHub];
  const { race, codes } = await openRace(first.url);
  const tokens: string[] = [];
  for (let d = 0; d < devices; d += 1) tokens.push((await join(first.url, codes.observer, `tab-${d}`)).token);
  const made = new Set<string>();
  const acknowledged = new Set<string>();
  let working = devices;
  const pushers = tokens.map(async (token, d) => {
    const records: TallyRecord[] = Array.from({ length: perDevice }, (_, i) => sighting(race.id, `tab-${d}`, i + 1));
    for (const { id } of records) made.add(id);
    let hub = d;
    for (let at = 0; at < records.length;) {
      const part = records.slice(at, at + batch);
      const answer = await call(hubs[hub % hubs.length]?.url ?? '', 'POST', `/races/${race.id}/records`, {
        token,
        body: { records: part, lastSeq: perDevice },
      }).catch(() => null);
      if (answer?.status === 200) {
        const { accepted, known, rejected } = answer.body as Pushed;
        if (accepted + known !== part.length) throw new Error(`refused: ${JSON.stringify(rejected.slice(0, 3))}`);
        for (const { id } of part) acknowledged.add(id);
        at += part.length;
      } else {
        hub += 1;
        await sleep(20 + 30 * random());
      }
    }
    working -= 1;
  });
  let killed = 0;
  const killer = (async () => {
    for (; killed < kills && working > 0; killed += 1) {
      await sleep(30 + 250 * random());
      const hub = hubs[Math.floor(random() * hubs.length)] as RunningHub;
      await hub.kill();
      await hub.start();
    }
  })();
  await Promise.all([...pushers, killer]);
  const { records } = await pullAll(first.url, race.id, ORGANISER_KEY);
  const held = new Set(records.map(({ id }) => id));
  return {
    pushed: made.size,
    acknowledged: acknowledged.size,
    held: held.size,
    missingAcknowledged: [...acknowledged].filter((id) => !held.has(id)).length,
    twice: records.length - held.size,
    notPushed: [...held].filter((id) => !made.has(id)).length,
    kills: killed,
  };
}
