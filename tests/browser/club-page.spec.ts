import { expect, test } from '@playwright/test';
import { demoRace } from '../../src/lib/demo/demo-race.ts';
import { clubPage } from '../../src/lib/findings/report/club-page.ts';
import { pageHtml } from '../../src/lib/findings/report/report-html.ts';
import { viewOfRace } from '../../src/lib/sightings/race-view.ts';
import { tableOfRecords } from '../../src/lib/sightings/table-of-records.ts';
import { findingsResult } from '../../src/lib/ui/findings/worker/findings-result.ts';

const demo = demoRace();
const LONG =
  ' by the old water tower behind the long northern embankment of the canal that leads to the harbour and the quarry';

/** The club page of the invented race, its names filled up to so many letters. */
function clubHtml(letters: number): string {
  const named = (name: string): string => (name + LONG).slice(0, Math.max(name.length, letters)).trim();
  const race = {
    ...demo.race,
    name: named(demo.race.name),
    checkpoints: demo.race.checkpoints.map((place) => ({ ...place, name: named(place.name) })),
  };
  const { result } = findingsResult(
    {
      ...{ stored: { id: race.id, race }, table: tableOfRecords(viewOfRace(race, demo.records)), marks: null },
      ...{ offCourse: 0, results: demo.results, startList: demo.startList, practice: null, expected: null },
    },
    {},
  );
  const { findings, focus, level, singleFoot } = result;
  const written = { version: '1', made: '2026-10-05T08:00:00.000Z', chosen: null, season: null };
  return pageHtml(
    race.name,
    clubPage({ findings, supplement: result.supplement!, race, focus, level, singleFoot, ...written }),
  );
}

for (const letters of [0, 60, 120]) {
  test(`the club page is one printed page with names of ${letters} letters`, async ({ page }) => {
    await page.setContent(clubHtml(letters));
    await expect(page.locator('.club figure').first()).toBeVisible();
    const pdf = await page.pdf({ preferCSSPageSize: true });
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)).toHaveLength(1);
  });
}
