/** Where each default of a plan comes from, by its path; checkpoints share theirs. */
const SOURCES: Readonly<Record<string, string>> = {
  'field.median': 'median of the 8,636 net times of data set TenMileRace, carried over by Riegel’s power law',
  'field.spread': 'middle half of the same times; log-normal',
  'field.clock': 'assumption',
  'field.finishShare': 'assumption',
  'field.slowing': 'assumption: even pace',
  'field.waves': 'assumption: one start, a thousand a minute over the line',
  observers: 'assumption: one',
  secondsEach: 'twenty runners a minute, common practice, no source; practice gives an observer’s own',
  bibRead: 'assumption',
  feetSeen: '1,991 of 2,112 filmed runners could be classed, marathon at 8.1 km, 2013',
  walking: 'assumption: nobody; give walkers for a late checkpoint',
  arrangement: 'assumption: observers take due runners in turn',
  pack: 'assumption: runners one by one',
  aim: 'the shift; with one checkpoint the share',
  keep: 'assumption',
  level: 'convention',
  power: 'convention',
  'shift.rearfootEarly': 'meta-analysis of 2021, doi 10.1186/s40798-021-00369-9',
  'shift.changed': 'the same meta-analysis',
  'shift.toRearfoot': 'the same meta-analysis',
  'classes.early': 'nothing: without both the four classes are not compared',
  'classes.late': 'nothing: without both the four classes are not compared',
  quarterRearfoot: 'nothing: without it the bias of uneven quarters is not computed',
  early: 'the first checkpoint',
  late: 'the last checkpoint',
  km: 'Set-up',
  'agreement.shares': 'runners with both feet alike in four road races with printed counts',
  'agreement.kappa': 'assumption',
  'agreement.width': 'assumption',
  'agreement.feetTogether': 'assumption: both feet of a runner count as one',
  'validation.sensitivity':
    'assumption: nobody has published how good the eye is live; practice gives an observer’s own',
  'validation.specificity': 'assumption, as before',
  'validation.secondsPerClip': 'assumption',
  'validation.halfWidth': 'assumption',
};

/** @param path as `inputs.assumed` names it: `field.median`, `checkpoints.NAME.secondsEach` */
export function assumptionSource(path: string): string {
  return SOURCES[path] ?? SOURCES[path.slice(path.lastIndexOf('.') + 1)] ?? 'assumption';
}
