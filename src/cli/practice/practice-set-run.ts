import { drawSet } from '../../lib/practice/draw-set.ts';
import { landingPose } from '../../lib/practice/landing-pose.ts';
import type { Landing } from '../../lib/practice/landing.ts';
import { keyCsv } from '../../lib/tables/practice/practice-csv.ts';
import { fittedTable } from '../output/text-parts.ts';
import { EXIT_DONE, EXIT_FAULT, USUAL_WIDTH, type Io } from '../command.ts';
import { beginsWith } from '../output/refuse-outputs.ts';
import { writeFiles } from '../output/write-files.ts';
import type { AskedSet } from './practice-set.ts';

/** The angles of these are printed, so that another program can check its drawing. */
const POSED_ITEMS = 3;
const POSE_TIMES_MS = [-100, -80, -40, 0, 10, 20, 40, 80, 120, 160, 200, 300] as const;

/** Does what is asked of the command; the exit code. */
export async function runPracticeSet({ spec, key, force, json }: AskedSet, io: Io): Promise<number> {
  const items = drawSet(spec);
  if (key !== undefined) {
    const replaces = (path: string) => beginsWith(path, 'item,class,foot,rate');
    const file = { path: key, pieces: keyCsv(items), replaces };
    if (!(await writeFiles([file], { inputs: [], force }, io))) return EXIT_FAULT;
  }
  const poses = items.slice(0, POSED_ITEMS).map((landing) => ({
    item: landing.item,
    poses: POSE_TIMES_MS.map((t) => ({ t, ...landingPose(landing, t) })),
  }));
  io.out(json ? `${JSON.stringify({ items, poses }, null, 2)}\n` : readable(items, io.width ?? USUAL_WIDTH));
  return EXIT_DONE;
}

function readable(items: readonly Landing[], width: number): string {
  const rows = items.map((one) => [
    one.item,
    one.class,
    one.foot,
    one.angle.toFixed(1),
    one.speed.toFixed(2),
    one.contactMs.toFixed(0),
    `${(100 * one.occlusion).toFixed(0)} %`,
    String(one.clutter),
  ]);
  const headings = ['item', 'class', 'foot', 'angle °', 'm/s', 'contact ms', 'hidden', 'others'];
  return `${fittedTable(headings, rows, width).join('\n')}\n`;
}
