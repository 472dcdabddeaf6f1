import type { Race } from '../../race/race.ts';

/** One item of a reporting guideline, and where a report meets it. */
export interface ReportingItem {
  readonly guideline: 'STROBE' | 'GRRAS';
  readonly number: string;
  /** What it asks for, in a few words of our own. */
  readonly topic: string;
  /** Where it is answered; empty when only the author can. */
  readonly met: string;
  /** What the author has to add or check; empty when nothing. */
  readonly author: string;
}

/**
 * Which items of the two guidelines a report answers, all of them and by their numbers: STROBE for cross-sectional studies (E.
 * von Elm and others, PLoS Medicine 4, e296, 2007; 22 items) and GRRAS for reliability and agreement (J. Kottner and others,
 * Journal of Clinical Epidemiology 64, 96-106, 2011; 15 items). The numbers are the guidelines' and the words
 * our own; number and subject of every GRRAS item were checked against the checklist and the paper's head (title, journal, year, pages),
 * of every STROBE item against the checklist for cross-sectional studies.
 */
export function reportingItems(race: Pick<Race, 'samplingRule'>): ReportingItem[] {
  const ruled = race.samplingRule !== undefined;
  return [...STROBE.map((row) => item('STROBE', row)), ...GRRAS.map((row) => item('GRRAS', row))].map((one) =>
    !ruled && one.guideline === 'STROBE' && one.number === '6'
      ? { ...one, author: 'who was to be classed: no sampling rule was set up' }
      : one,
  );
}

type Row = readonly [number: string, topic: string, met: string, author: string];

const item = (guideline: ReportingItem['guideline'], [number, topic, met, author]: Row): ReportingItem => ({
  ...{ guideline, number, topic, met, author },
});

const STROBE: readonly Row[] = [
  ['1', 'Title and summary: the design, what was done and found', 'title; In short', 'a summary of your own'],
  ['2', 'Background and reasons', '', 'why this was studied'],
  ['3', 'Objectives and hypotheses', '', 'what was asked before the race'],
  ['4', 'Design of the study', 'Methods: what was watched', ''],
  ['5', 'Setting: places and dates', 'title; Methods: what was watched', 'the event and its course'],
  ['6', 'Who was eligible and how chosen', 'Methods: what was watched', ''],
  ['7', 'Outcomes, exposures, confounders defined', 'Methods: from sightings to classes', 'shoes, slope, surface'],
  ['8', 'How each was measured', 'Methods: from sightings to classes', 'cameras and their frame rate'],
  ['9', 'What was done about bias', 'Agreement; Shift: same observers; Coverage', 'how observers were placed'],
  ['10', 'How the size of the study came about', '', 'why this many runners and observers'],
  ['11', 'How quantities were handled and grouped', 'Methods: finish times, coverage', ''],
  [
    '12',
    'Statistical methods, subgroups, missing data, sampling, sensitivity',
    'Methods; Coverage: left out',
    'analyses of your own',
  ],
  ['13', 'Numbers at each stage, and why lost', 'Coverage: from passing to findings; Shift: who was lost', ''],
  ['14', 'Who took part, with missing values counted', 'Coverage', 'sex and age of the field'],
  ['15', 'Outcomes counted', 'Shares', ''],
  ['16', 'Main estimates with intervals, adjusted and not', 'Shares; Shift; Finish time', ''],
  ['17', 'Other analyses', 'Shift: separate samples, trend; Finish time: pairs', 'any not made here'],
  ['18', 'Key results by objective', 'In short', 'against your objectives'],
  ['19', 'Limitations, with direction of bias', 'Agreement: which way the eye errs; Cautions', 'your own discussion'],
  ['20', 'Interpretation in the light of other work', '', 'your own discussion'],
  ['21', 'How far it holds elsewhere', 'Coverage: weighted to the field', 'other races and fields'],
  ['22', 'Funding and the part funders had', '', 'funding; ethics approval; leave of the organiser'],
];

const GRRAS: readonly Row[] = [
  ['1', 'Title or summary names agreement or reliability', 'Agreement', 'title of your own'],
  ['2', 'The measurement described', 'Methods: from sightings to classes', ''],
  ['3', 'The population of subjects', 'Methods: what was watched', 'the field of the race'],
  ['4', 'The population of raters', 'Agreement: raters by code', 'who they stand for'],
  ['5', 'What is known already, and why this study', '', 'your own introduction'],
  ['6', 'How the numbers of raters and subjects came about', '', 'why this many'],
  ['7', 'How raters and subjects were chosen', 'Methods: what was watched', 'how observers were found'],
  [
    '8',
    'How rating went: times, repeats, blinding',
    'Methods: from sightings to classes',
    'time from race to clip review',
  ],
  ['9', 'Whether ratings were independent', 'Agreement', 'whether observers could speak'],
  ['10', 'Statistical analysis', 'Methods: agreement', ''],
  ['11', 'Numbers of raters, subjects and ratings', 'Agreement: feet in common', ''],
  [
    '12',
    'Raters and subjects described',
    'Agreement: who tends to which class',
    'training and experience of the raters',
  ],
  ['13', 'Estimates with their uncertainty', 'Agreement: coefficients with intervals', ''],
  ['14', 'What the results mean in practice', '', 'your own discussion'],
  ['15', 'Detailed results handed along', 'tables of each pair of raters; the export', 'where they can be had'],
];
