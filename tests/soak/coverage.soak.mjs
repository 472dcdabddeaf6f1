// How often the intervals of corrected and pooled figures hold the true value in invented races, 500 a row, beside the
// figures of tests/reference/coverage.md, which R computed by the scripts beside it with formulas of its own.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { correctedOf } from '../../src/lib/findings/sections/corrected/figures.ts';
import { resolveRace } from '../../src/lib/findings/resolved-race.ts';
import { FOOT_CLASSES } from '../../src/lib/records/foot.ts';
import { normalDraw, seededRandom } from '../../src/lib/records/seeded-random.ts';
import { SightingTableBuilder } from '../../src/lib/sightings/sighting-table.ts';
import { logitOfShare } from '../../src/lib/stats/proportions/logit-of-share.ts';
import { pairedDifferenceVariance } from '../../src/lib/stats/paired/paired-difference-variance.ts';
import { randomEffectsMean } from '../../src/lib/stats/meta-analysis/random-effects-mean.ts';

const RUNS = 500;
const RUNS_OF_TABLE = { corrected: 2000, pooled: 1000 };
const LEVEL = 0.95;

// The invented field of the table: classes early, and from early (rows) to late (columns).
const EARLY = [0.85, 0.06, 0.03, 0.06];
const MOVES = [
  [0.96, 0.015, 0.005, 0.02],
  [0.35, 0.55, 0.05, 0.05],
  [0.15, 0.15, 0.65, 0.05],
  [0.45, 0.05, 0.05, 0.45],
];
const LATE = EARLY.map((_, j) => EARLY.reduce((sum, share, i) => sum + share * MOVES[i][j], 0));
/** Whither a misreading goes, by true class. */
const SLIPS = [
  [0, 0.5, 0.1, 0.4],
  [0.55, 0, 0.25, 0.2],
  [0.1, 0.6, 0, 0.3],
  [0.6, 0.3, 0.1, 0],
];

const errors = (right) => SLIPS.map((row, i) => row.map((share, j) => (i === j ? right : (1 - right) * share)));

/** @param {readonly number[]} shares @param {number} at 0 to 1 */
function classAt(shares, at) {
  let sum = 0;
  for (let i = 0; i < 3; i += 1) if (at < (sum += shares[i])) return i;
  return 3;
}

/** Left and right foot of a runner of a class; asymmetric is two classes. @param {number} kind */
const feetOf = (kind) => (kind < 3 ? [FOOT_CLASSES[kind], FOOT_CLASSES[kind]] : ['rearfoot', 'midfoot']);

function field(random, n, [early, late]) {
  const [me, ml] = [errors(early), errors(late)];
  return Array.from({ length: n }, () => {
    const was = classAt(EARLY, random());
    const is = classAt(MOVES[was], random());
    return { was, is, readEarly: classAt(me[was], random()), readLate: classAt(ml[is], random()) };
  });
}

/** A simple random part of the runners. */
function part(random, n, size) {
  const order = Array.from({ length: n }, (_, i) => i);
  for (let i = n - 1; i > 0; i -= 1) {
    const j = Math.floor(random() * (i + 1));
    [order[i], order[j]] = [order[j], order[i]];
  }
  return new Set(order.slice(0, size));
}

function raceOf(add) {
  const builder = new SightingTableBuilder();
  let records = 0;
  add((checkpoint, bib, kind, observer, method) => {
    const [left, right] = feetOf(kind);
    builder.add({
      ...{
        recordId: `r${(records += 1)}`,
        checkpoint,
        km: checkpoint === 'early' ? 5 : 20,
        bib: String(bib),
        gait: 'run',
      },
      ...{ left, right, observer, method, observedAtMs: 0 },
    });
  });
  return resolveRace(builder.build(), 'exclude');
}

const OPTIONS = { early: 0, late: 1, level: LEVEL, singleFoot: 'exclude' };
const holds = ({ low, high }, truth) => low !== null && high !== null && low <= truth && truth <= high;

/** What the two shares and the difference of a correction hold, or `null` without an estimate. */
function heldBy(correction) {
  const change = correction?.difference?.corrected;
  if (!correction || change?.difference == null) return null;
  const [early, late] = correction.checkpoints.map(({ classes }) => classes.rearfoot);
  return [holds(early, EARLY[0]), holds(late, LATE[0]), holds(change, LATE[0] - EARLY[0])];
}

function validated(random, { n, f, se }) {
  const runners = field(random, n, se);
  const [picked, pickedLate] = [part(random, n, Math.round(f * n)), part(random, n, Math.round(f * n))];
  const race = raceOf((add) =>
    runners.forEach((runner, bib) => {
      add('early', bib, runner.readEarly, 'A', 'live');
      add('late', bib, runner.readLate, 'B', 'live');
      if (picked.has(bib)) add('early', bib, runner.was, 'C', 'clip');
      if (pickedLate.has(bib)) add('late', bib, runner.is, 'C', 'clip');
    }),
  );
  return heldBy(correctedOf(race, null, OPTIONS).corrected?.validation);
}

function practised(random, { n, items, se }) {
  const same = se[0] === se[1];
  const runners = field(random, n, se);
  const eyes = [['A1', 'A2'], same ? ['A1', 'A2'] : ['B1', 'B2']];
  const race = raceOf((add) =>
    runners.forEach((runner, bib) => {
      add('early', bib, runner.readEarly, eyes[0][bib % 2], 'live');
      add('late', bib, runner.readLate, eyes[1][bib % 2], 'live');
    }),
  );
  const answers = items.flatMap((count, key) =>
    Array.from({ length: count }, (_, i) => ({ item: `${key}-${i}`, key, base: random() })),
  );
  const [keyed, teams] = [answers, same ? [[eyes[0], se[0]]] : eyes.map((team, i) => [team, se[i]])];
  const rows = teams.flatMap(([team, right]) =>
    team.flatMap((observer) =>
      keyed.map(({ item, key, base }) => {
        // Half of an item's errors are shared by both observers.
        const answer = classAt(errors(right)[key], random() < 0.5 ? base : random());
        const [keyLeft, keyRight] = feetOf(key);
        const [left, right_] = feetOf(answer);
        return { item, observer, keyLeft, keyRight, left, right: right_ };
      }),
    ),
  );
  return heldBy(correctedOf(race, rows, OPTIONS).corrected?.practice);
}

/** Successes of a binomial draw. */
const binomial = (random, n, p) => Array.from({ length: n }).reduce((sum) => sum + (random() < p ? 1 : 0), 0);
const logistic = (x) => 1 / (1 + Math.exp(-x));

function pooled(random, { k, tau }) {
  const [mean, difference] = [Math.log(0.88 / 0.12), 0.03];
  const races = Array.from({ length: k }, () => {
    const n = Math.round(Math.exp(Math.log(60) + random() * Math.log(900 / 60)));
    const share = logitOfShare(binomial(random, n, logistic(normalDraw(random, mean, tau))), n);
    const paired = Math.max(30, Math.round(n * 0.5));
    const own = normalDraw(random, difference, 0.08 * tau);
    const chance = (p) => Math.min(0.5, Math.max(0.001, p));
    const [gain, loss] = [chance(0.06 + own / 2), chance(0.06 - own / 2)];
    let [gained, lost] = [0, 0];
    for (let i = 0; i < paired; i += 1) {
      const at = random();
      if (at < gain) gained += 1;
      else if (at < gain + loss) lost += 1;
    }
    const variance = pairedDifferenceVariance(gained, lost, paired);
    return { share, difference: { estimate: (gained - lost) / paired, variance } };
  });
  const meanOf = (effect) =>
    randomEffectsMean(
      { estimate: races.map((race) => race[effect].estimate), variance: races.map((race) => race[effect].variance) },
      LEVEL,
    );
  const further = (found, truth) => found.predictionLow <= truth && truth <= found.predictionHigh;
  const [share, change] = [meanOf('share'), meanOf('difference')];
  return [
    holds(share, mean),
    further(share, normalDraw(random, mean, tau)),
    holds(change, difference),
    further(change, normalDraw(random, difference, 0.08 * tau)),
  ];
}

/** Rows of a table of coverage.md whose heading begins with these cells. */
function tableRows(text, heading) {
  const lines = text.split('\n');
  const from = lines.findIndex((line) => line.startsWith(heading));
  assert.ok(from >= 0, `no table ${heading}`);
  const rows = [];
  for (let i = from + 2; lines[i]?.startsWith('|'); i += 1)
    rows.push(
      lines[i]
        .split('|')
        .map((cell) => cell.trim())
        .slice(1),
    );
  return rows;
}

/** Runs one row; says what was held beside the table's figures, and throws where the two are further apart than chance allows. */
function compare(name, names, expected, runsOfTable, simulate) {
  const held = names.map(() => 0);
  let counted = 0;
  for (let run = 0; run < RUNS; run += 1) {
    const found = simulate();
    if (!found) continue;
    counted += 1;
    found.forEach((yes, i) => (held[i] += yes ? 1 : 0));
  }
  const figures = Object.fromEntries(
    names.map((what, i) => [what, { here: Number((held[i] / counted).toFixed(3)), table: expected[i] }]),
  );
  for (const [what, { here, table }] of Object.entries(figures)) {
    const p = Math.min(0.995, Math.max(0.005, table));
    const apart = 4.5 * Math.sqrt(p * (1 - p) * (1 / counted + 1 / runsOfTable)) + 0.002;
    assert.ok(Math.abs(here - table) <= apart, `${name}, ${what}: ${here} here, ${table} in the table`);
  }
  console.error(
    `  ${name}: ${Object.entries(figures)
      .map(([what, { here, table }]) => `${what} ${here} (${table})`)
      .join(', ')}`,
  );
  return { name, noEstimate: RUNS - counted, ...figures };
}

export default function coverage() {
  const text = readFileSync(new URL('../reference/coverage.md', import.meta.url), 'utf8');
  const random = seededRandom(2031);
  const both = (text) => text.split('/').map(Number);
  const three = ['share early', 'share late', 'difference'];
  const validation = tableRows(text, '| n | f | se |').map(([n, f, se, , , early, , late, , , difference]) =>
    compare(
      `validated, n ${n}, f ${f}, se ${se}`,
      three,
      [early, late, difference].map(Number),
      RUNS_OF_TABLE.corrected,
      () => validated(random, { n: Number(n), f: Number(f), se: both(se) }),
    ),
  );
  const itemsOf = (cell) =>
    cell.endsWith(' each') ? Array(4).fill(Number(cell.split(' ')[0])) : cell.split(', ').map(Number);
  const practice = tableRows(text, '| n | items | se |').map(([n, items, se, , early, late, difference]) =>
    compare(
      `practised, n ${n}, items ${items}, se ${se}`,
      three,
      [early, late, difference].map(Number),
      RUNS_OF_TABLE.corrected,
      () => practised(random, { n: Number(n), items: itemsOf(items), se: both(se) }),
    ),
  );
  const four = ['share', 'further share', 'difference', 'further difference'];
  const pool = tableRows(text, '| k | τ |').map(([k, tau, , , share, sharePi, , , difference, differencePi]) =>
    compare(
      `pooled, k ${k}, τ ${tau}`,
      four,
      [share, sharePi, difference, differencePi].map(Number),
      RUNS_OF_TABLE.pooled,
      () => pooled(random, { k: Number(k), tau: Number(tau) }),
    ),
  );
  return { runs: RUNS, validation, practice, pool };
}
