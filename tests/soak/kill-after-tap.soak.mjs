import { killAfterTap } from '../helpers/tally/kill-after-tap.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';
import { keptRows, openTally, TALLY_RACE, untilKept } from '../helpers/tally/tally-race.ts';

/** The browser process is killed right after the feedback of a tap, fifty times: every confirmed record is there. */
export default async function killAfterTapSoak() {
  const hub = await startHub({
    port: Number(process.env.KERBSIDE_TEST_PORT ?? 4373),
    key: 'soak-organiser-key-0123456',
  });
  try {
    const outcomes = await killAfterTap({
      url: `${hub.url}/races/${TALLY_RACE}/tally`,
      times: 50,
      putRace: (page) => openTally(page, {}, hub.url),
      tally: async (page, n) => {
        await page.getByRole('group', { name: 'Foot grid' }).waitFor();
        await page.keyboard.type(`${1000 + n}s`);
        await untilKept(page, 1);
      },
      stored: async (page) => (await keptRows(page)).length,
    });
    const lost = outcomes.filter(({ confirmed, found }) => found !== confirmed);
    if (outcomes.length !== 50 || lost.length) throw new Error(`records lost: ${JSON.stringify(lost)}`);
    return { kills: outcomes.length, lost: 0 };
  } finally {
    await hub.end();
  }
}
