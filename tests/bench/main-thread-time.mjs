/** What has to be traced for {@link mainThreadPerFrame}. */
export const TRACED = ['toplevel', 'devtools.timeline'];
/** A longer pause than this lies between two landings and is no frame, microseconds. */
const PAUSE_US = 250_000;

const endOf = ({ ts, dur = 0 }) => ts + dur;

/** Tasks that lie in no other one. */
function outermost(tasks) {
  let end = 0;
  return tasks.filter((task) => {
    const outer = task.ts >= end;
    if (outer) end = endOf(task);
    return outer;
  });
}

/**
 * Processor time of the page's main thread for each frame that was drawn, milliseconds: all of its tasks from one frame's
 * callback to the next one's. Unlike the intervals between frames it says little of what else the machine does meanwhile.
 *
 * @param {Buffer} trace a trace of Chromium with the categories of {@link TRACED}
 */
export function mainThreadPerFrame(trace) {
  const events = JSON.parse(trace.toString()).traceEvents.filter(({ ph }) => ph === 'X');
  const drawn = events.filter(({ name }) => name === 'FireAnimationFrame').sort((a, b) => a.ts - b.ts);
  if (drawn.length === 0) throw new Error('The trace holds no frame.');
  const { pid, tid } = drawn[0];
  const tasks = outermost(
    events.filter((one) => one.pid === pid && one.tid === tid).sort((a, b) => a.ts - b.ts || endOf(b) - endOf(a)),
  );
  const starts = drawn.map(({ ts }) => ts);
  const times = starts.map(() => 0);
  let frame = -1;
  for (const task of tasks) {
    while (frame + 1 < starts.length && starts[frame + 1] < endOf(task)) frame += 1;
    if (frame >= 0) times[frame] += (task.tdur ?? 0) / 1000;
  }
  return times.filter((_, i) => i + 1 < starts.length && starts[i + 1] - starts[i] < PAUSE_US);
}
