import { expect, test, type Page } from '@playwright/test';
import { axeFaults } from '../helpers/browser/axe-faults.ts';

async function noAxeFaults(page: Page): Promise<void> {
  expect(await axeFaults(page)).toEqual([]);
}

const csv = (name: string, text: string | Buffer) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(text) });
const startListPanel = (page: Page) => page.getByRole('region', { name: 'Start list', exact: true });
const resultsPanel = (page: Page) => page.getByRole('region', { name: 'Results', exact: true });

test('a race is set up by hand, its lists come from files, and it is erased by its name', async ({ page }) => {
  await page.goto('/');
  await noAxeFaults(page);
  await page.getByLabel('Name').fill('Heron Lock Twelve');
  await page.getByLabel('Date').fill('2031-05-03');
  await page.getByRole('button', { name: 'Set it up' }).click();
  await expect(page.getByRole('heading', { name: 'Set-up' })).toBeVisible();

  await page.getByLabel('Start', { exact: true }).fill('25:00');
  await page.getByLabel('Start', { exact: true }).blur();
  await expect(page.getByText('Expected a time such as 9:30')).toBeVisible();
  await expect(page.getByText('Not saved yet')).toBeVisible();
  await page.getByLabel('Start', { exact: true }).fill('9:30');
  await page.getByLabel('Time zone').fill('Europe/Dublin');
  await page.getByLabel('Length in km').fill('12,1');
  await page.getByLabel('Length in km').blur();
  await expect(page.getByText(/^Saved at/)).toBeVisible();

  for (const [i, [name, km]] of [
    ['Weir', '3.5'],
    ['Long Meadow', '10'],
  ].entries()) {
    await page.getByRole('button', { name: 'Add a checkpoint' }).click();
    await page.getByLabel('Checkpoint', { exact: true }).nth(i).fill(name!);
    await page.getByLabel('km', { exact: true }).nth(i).fill(km!);
    await page.getByLabel('km', { exact: true }).nth(i).blur();
  }
  // The next row is asked for from within a field: what was typed is kept, and the new row has the focus.
  const km = page.getByLabel('km', { exact: true });
  await km.nth(1).fill('13');
  await page.getByRole('button', { name: 'Add a checkpoint' }).click();
  await expect(page.getByLabel('Checkpoint', { exact: true }).nth(2)).toBeFocused();
  await expect(page.getByText('Beyond the race’s 12.1 km?')).toBeVisible();
  await page.getByRole('button', { name: 'Remove this checkpoint' }).click();
  await km.nth(1).fill('10');
  await km.nth(1).blur();
  await page.getByRole('button', { name: 'Add an observer' }).click();
  const observers = page.getByRole('region', { name: 'Observers' });
  await observers.getByLabel('Code').fill('K1');
  await observers.getByLabel('Checkpoint').selectOption({ label: 'Weir · 3.5 km' });
  await observers.getByLabel('Side').selectOption('left');
  await page.getByLabel('every second, third, … runner').check();
  await page.getByLabel('k', { exact: true }).fill('4');
  await page.getByLabel('k', { exact: true }).blur();
  await expect(page.getByText(/^Saved at/)).toBeVisible();

  // Semicolons, Windows-1252, a title line, a totals line and other headings: as organisers export it.
  const german =
    'Heron Lock Twelve;;;\r\nStartnr;Name;Verein;Alter\r\n7;Fynn Grau;Läufer Süd;31\r\n007;Ida Öhm;;28\r\n12;Bo Rust;Läufer Süd;44\r\nSumme;3;;\r\n';
  await startListPanel(page)
    .getByLabel('Load start list')
    .setInputFiles(csv('start.csv', Buffer.from(german, 'latin1')));
  await expect(startListPanel(page).getByRole('heading', { name: 'start.csv: 3 runners read' })).toBeVisible();
  await expect(startListPanel(page).getByText(/Windows-1252/)).toBeVisible();
  await expect(startListPanel(page).getByText(/totals or a closing line/)).toBeVisible();
  await noAxeFaults(page);
  await startListPanel(page).getByRole('button', { name: 'Keep these 3 runners' }).click();
  await expect(startListPanel(page).getByText('3 runners are on this device.')).toBeVisible();

  // Again, with one gone, one new and one changed: said before anything is replaced.
  const again = 'Bib,Name,Team,Age\n7,Fynn Grau,Läufer Süd,32\n007,Ida Öhm,,28\n15,Mo Lind,,50\n';
  await startListPanel(page).getByLabel('Load start list').setInputFiles(csv('again.csv', again));
  await expect(startListPanel(page).getByText('1 come in, 1 go, 1 change, 1 stay as they are.')).toBeVisible();
  await expect(startListPanel(page).getByText('3 runners are on this device.')).toBeVisible();
  await startListPanel(page).getByRole('button', { name: 'Leave it' }).click();
  await expect(startListPanel(page).getByText('3 runners are on this device.')).toBeVisible();

  // Faults by row and column; another column is taken for the finish.
  const results = 'Bib;Time;Own\n7;0:58:30,5;1\n007;1:75:00;2\n12;DNF;3\n12;59:00;4\n';
  await resultsPanel(page).getByLabel('Load results').setInputFiles(csv('results.csv', results));
  await expect(resultsPanel(page).getByText(/row 3, column Time: "1:75:00"/)).toBeVisible();
  await expect(resultsPanel(page).getByText(/row 5, column Bib: "12" is in row 4 already/)).toBeVisible();
  await resultsPanel(page).getByLabel('finish time').selectOption({ label: 'Own' });
  await expect(resultsPanel(page).getByText(/1:75:00/)).toHaveCount(1);
  await resultsPanel(page).getByLabel('finish time').selectOption({ label: 'Time' });
  await resultsPanel(page).getByRole('button', { name: 'Keep these 2 runners' }).click();
  await expect(resultsPanel(page).getByText('2 runners are on this device.')).toBeVisible();

  await page.reload();
  await expect(page.getByLabel('Start', { exact: true })).toHaveValue('09:30');
  await expect(page.getByLabel('k', { exact: true })).toHaveValue('4');
  await page.setViewportSize({ width: 390, height: 844 });
  const overflow = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  expect(overflow).toBeLessThanOrEqual(0);
  await page.getByRole('link', { name: 'Briefing for the observers' }).click();
  await expect(page.getByText('Class every 4th runner who passes')).toBeVisible();
  await page.getByLabel('Join code').fill('HERON-42');
  await expect(page.getByLabel('Lead’s phone')).toBeVisible();
  await noAxeFaults(page);

  await page.goto('/');
  await page.getByText('Erase from this device').click();
  const erase = page.getByRole('button', { name: 'Erase', exact: true });
  await expect(erase).toBeDisabled();
  await page.getByLabel(/Type the race’s name/).fill('Heron Lock Twelve');
  await erase.click();
  await expect(page.getByText('None yet.')).toBeVisible();
});

test('files that are no list say so, and a list of 30,000 runners comes in', async ({ page }) => {
  await page.goto('/');
  await page.getByLabel('Name').fill('Kiln Road Mile');
  await page.getByLabel('Date').fill('2031-06-06');
  await page.getByRole('button', { name: 'Set it up' }).click();
  const input = startListPanel(page).getByLabel('Load start list');
  const alert = startListPanel(page).getByRole('alert');

  await input.setInputFiles(csv('empty.csv', ''));
  await expect(alert).toContainText('the file is empty');
  await input.setInputFiles(csv('no-bib.csv', 'Colour,Size\nred,3\n'));
  await expect(alert).toContainText('bib: not found');
  await input.setInputFiles(csv('picture.csv', Buffer.from('89504e470d0a1a0a0000000d49484452000000010000', 'hex')));
  await expect(alert).toContainText('the file is');
  await expect(startListPanel(page).getByRole('button', { name: /^Keep/ })).toBeDisabled();

  // Ways to write one sex are shown with what is kept, and a person has the last word.
  await input.setInputFiles(
    csv('sexes.csv', 'Dorsal;Sexo;Año de nacimiento\n1;M;1990\n2;H;1981\n3;H;1972\n4;Mujer;2000\n'),
  );
  const keptAs = (found: string) => startListPanel(page).getByLabel(`${found} is kept as`);
  await expect(keptAs('Mujer')).toHaveValue('M');
  await keptAs('H').fill('men');
  await keptAs('H').blur();
  await expect(startListPanel(page).getByText('"H" as "men"')).toBeVisible();
  await expect(startListPanel(page).getByText(/4 ages/)).toBeVisible();
  await noAxeFaults(page);
  await startListPanel(page).getByRole('button', { name: 'Leave it' }).click();

  const rows = Array.from({ length: 30_000 }, (_, i) => `${i + 1},Runner ${i},${i % 2 ? 'F' : 'M'},${20 + (i % 50)}`);
  await input.setInputFiles(csv('large.csv', `bib,name,sex,age\n${rows.join('\n')}\n`));
  await startListPanel(page).getByRole('button', { name: 'Keep these 30,000 runners' }).click();
  await expect(startListPanel(page).getByText('30,000 runners are on this device.')).toBeVisible();
});

test('an edit made at the very moment at which the one before is kept is kept too, and is nobody else’s', async ({
  page,
}) => {
  // As a fast hand on a slow tablet: whenever word of a change comes, the next field has just been left.
  await page.addInitScript(() => {
    let edits = 0;
    new BroadcastChannel('kerbside-set-up').onmessage = () => {
      const label = [...document.querySelectorAll('label')].find((one) => one.textContent.trim() === 'Length in km');
      const input = label?.control as HTMLInputElement | null | undefined;
      if (!input || edits === 5) return;
      edits += 1;
      input.value = String(edits);
      for (const kind of ['input', 'change']) input.dispatchEvent(new Event(kind, { bubbles: true }));
    };
  });
  await page.goto('/');
  await page.getByLabel('Name').fill('Heron Lock');
  await page.getByLabel('Date').fill('2031-05-03');
  await page.getByRole('button', { name: 'Set it up' }).click();
  // The form before has a name field too.
  await page.getByLabel('Length in km').waitFor();
  await page.getByLabel('Name').fill('Heron Lock Twelve');
  await page.getByLabel('Name').blur();
  await expect(page.getByLabel('Length in km')).toHaveValue('5');
  await page.getByRole('button', { name: 'Add a checkpoint' }).click();
  await page.getByLabel('Checkpoint', { exact: true }).fill('Weir');
  await page.getByLabel('km', { exact: true }).fill('4');
  await page.getByLabel('km', { exact: true }).blur();
  await expect(page.getByText('changed elsewhere')).toBeHidden();
  // Looked at from another tab: a reload here could cut off the very save that is waited for.
  const other = await page.context().newPage();
  await expect
    .poll(async () => {
      await other.goto(page.url());
      await other.getByLabel('Length in km').waitFor();
      return other.getByLabel('Checkpoint', { exact: true }).count();
    })
    .toBe(1);
  await expect(other.getByLabel('Name')).toHaveValue('Heron Lock Twelve');
});
