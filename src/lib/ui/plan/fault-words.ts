/** How the members of a plan are called on the screen, where a fault names them. */
const MEMBERS: Readonly<Record<string, string>> = {
  starters: 'Starters',
  km: 'Length of the course',
  pack: 'Runners who pass as one',
  rule: 'Sampling rule',
  early: 'Early at',
  late: 'Late at',
  keep: 'Due runners classed at the peak',
  level: 'Level of intervals',
  power: 'Races in which a shift should be noticed',
  quarterRearfoot: 'Rearfoot in each finish-time quarter',
  'field.median': 'Median finish',
  'field.spread': 'Spread of finish times',
  'field.finishShare': 'Starters who finish',
  'field.slowing': 'Slowing over the course',
  'field.waves': 'Waves',
  'shift.rearfootEarly': 'Rearfoot early',
  'shift.changed': 'Runners who change',
  'shift.toRearfoot': 'Of them to rearfoot',
  'classes.early': 'Class shares early',
  'classes.late': 'Class shares late',
  'agreement.shares': 'Classes of single feet',
  'agreement.kappa': 'Kappa',
  'agreement.width': 'Width of its interval',
  'agreement.feetTogether': 'How far both feet of a runner count as one',
  'validation.sensitivity': 'Observers right on rearfoot',
  'validation.specificity': 'Observers right on the others',
  'validation.secondsPerClip': 'Work on one clip',
  'validation.halfWidth': 'Corrected share to ±',
};

const OF_PLACES: Readonly<Record<string, string>> = {
  km: 'km',
  name: 'name',
  observers: 'observers',
  secondsEach: 'seconds a runner',
  bibRead: 'bibs read',
  feetSeen: 'feet seen',
  walking: 'walkers',
};

/**
 * A fault of a plan by the names that stand on the screen: `Quarry Hill, km: 50 lies beyond the course of 42.195 km`.
 *
 * @param fault as `readPlan` names it, by its path
 * @param places the checkpoints' names in the order of the plan
 */
export function faultWords(fault: string, places: readonly string[]): string {
  const [, path, rest] = /^([\w.[\]]+): (.*)$/s.exec(fault) ?? [];
  if (path === undefined || rest === undefined) return fault;
  const [, at, member] = /^checkpoints\[(\d+)\]\.(\w+)$/.exec(path) ?? [];
  if (at !== undefined && member !== undefined) {
    return `${places[Number(at)] ?? 'A checkpoint'}, ${OF_PLACES[member] ?? member}: ${rest}`;
  }
  const [, wave] = /^field\.waves\[(\d+)\]/.exec(path) ?? [];
  if (wave !== undefined) return `Wave ${String(Number(wave) + 1)}: ${rest}`;
  const base = path.replace(/\[\d+\].*$/, '');
  const called = MEMBERS[path] ?? MEMBERS[base] ?? MEMBERS[base.replace(/\.[^.]*$/, '')] ?? path;
  return `${called}: ${rest}`;
}
