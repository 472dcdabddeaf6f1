import type { CoverageFlow } from './coverage-flow.ts';
import { count, percent } from '../../../words/numbers.ts';
import type { StackPicture } from '../../series-picture.ts';

interface Step {
  readonly name: string;
  readonly kept: number;
  /** Why runners of the step before are not in this one. */
  readonly lost: readonly { readonly reason: string; readonly count: number }[];
}

/** The steps from passing to being seen at both checkpoints; each is part of the one before. */
export function flowSteps(flow: CoverageFlow, otherCheckpoint: string | null): Step[] {
  const steps: Step[] = [];
  if (flow.basis === 'finishers') {
    steps.push({ name: 'passed', kept: flow.passed, lost: [] });
    steps.push({
      name: 'sighted',
      kept: flow.seen,
      lost: [{ reason: 'not sighted, or bib not readable', count: flow.passed - flow.seen }],
    });
  } else {
    steps.push({ name: 'sightings', kept: flow.passed, lost: [] });
    steps.push({
      name: 'runners sighted',
      kept: flow.seen,
      lost: [
        { reason: 'let pass by the sampling rule', count: flow.letPass },
        { reason: 'no bib', count: flow.noBib },
        {
          reason: 'the same runner by another observer or method',
          count: flow.passed - flow.letPass - flow.noBib - flow.seen,
        },
      ],
    });
  }
  steps.push({
    name: 'classified',
    kept: flow.classified,
    lost: [
      { reason: 'walking', count: flow.walking },
      { reason: 'disputed', count: flow.disputed },
      { reason: 'a foot not seen', count: flow.unclassified },
    ],
  });
  if (flow.matched !== null) {
    steps.push({
      name: 'matched to a finish',
      kept: flow.matched,
      lost: [{ reason: 'no finish in the results', count: flow.classified - flow.matched }],
    });
  }
  if (otherCheckpoint !== null) {
    const before = flow.matched ?? flow.classified;
    const kept = flow.bothMatched ?? flow.both;
    steps.push({
      name: `classified at ${otherCheckpoint} too`,
      kept,
      lost: [{ reason: `not classified at ${otherCheckpoint}`, count: before - kept }],
    });
  }
  return steps;
}

/** What `passed` counts, in words. */
export function passedWords(flow: CoverageFlow): string {
  if (flow.basis === 'sightings') return 'all sightings here, repeats of one observer left out';
  const more = flow.withoutFinish ?? 0;
  return more > 0
    ? `the finishers and ${count(more)} more who were sighted here without a finish`
    : 'the finishers of the results';
}

/** The flow at one checkpoint as bars that shrink from step to step, with counts and reasons. */
export function flowPicture(
  flow: CoverageFlow,
  place: string,
  otherCheckpoint: string | null,
  id: string,
): StackPicture | null {
  if (flow.passed === 0) return null;
  const steps = flowSteps(flow, otherCheckpoint);
  return {
    kind: 'stack',
    id,
    title: `From passing to the findings at ${place}`,
    label: `Bars from step to step. ${steps.map((step) => `${step.name}: ${count(step.kept)}${lostWords(step) === '' ? '' : ` (${lostWords(step)})`}`).join('; ')}.`,
    bars: steps.map((step, i) => {
      const before = steps[i - 1]?.kept ?? step.kept;
      return {
        name: `${count(step.kept)} ${step.name}`,
        segments: [
          { tone: 'first', label: 'counted', share: step.kept / flow.passed },
          { tone: 'muted', label: 'left out at this step', share: Math.max(0, before - step.kept) / flow.passed },
        ],
      };
    }),
    table: {
      caption: `${place}: each step is part of the one before; passed counts ${passedWords(flow)}`,
      columns: ['Step', 'Counted', 'Share of passed', 'Left out', 'Why'],
      rows: steps.map((step, i) => [
        step.name,
        count(step.kept),
        percent(step.kept / flow.passed),
        i === 0 ? '' : count((steps[i - 1]?.kept ?? 0) - step.kept),
        i === 0 ? passedWords(flow) : lostWords(step),
      ]),
    },
  };
}

function lostWords(step: Step): string {
  return step.lost
    .filter((one) => one.count > 0)
    .map((one) => `${count(one.count)} ${one.reason}`)
    .join(', ');
}
