import { FOOT_CLASSES, FOOT_VALUES } from '../../records/foot.ts';
import type { PracticeRow } from '../../practice/practice-session.ts';
import type { RunnerAnswer } from '../../practice/runner-answer.ts';
import { type Columns, numberCell } from '../csv/column.ts';

/** `practice.csv`: every answer with its key beside it. It reads back as answers and key. */
export const PRACTICE_COLUMNS = {
  session: {
    type: 'string',
    description: 'Id of the session.',
    names: 'nobody',
    write: ({ session }) => session,
  },
  observer: {
    type: 'string',
    description: 'Who practised. How well a person sees is that person’s.',
    names: 'person',
    freeText: true,
    write: ({ observer }) => observer,
  },
  set: {
    type: 'string',
    description: 'Seed of a drawn set, or the name of a clip set. Items are told apart within their set.',
    names: 'nobody',
    freeText: true,
    write: ({ set }) => set,
  },
  position: {
    type: 'integer',
    description: 'Order of showing.',
    constraints: { minimum: 1 },
    names: 'nobody',
    write: ({ position }) => String(position),
  },
  item: {
    type: 'string',
    description: 'One landing of one foot; ITEM/left and ITEM/right of a clip.',
    names: 'nobody',
    freeText: true,
    write: ({ item }) => item,
  },
  class: {
    type: 'string',
    description: 'What it was: put into the drawing, or agreed on in slow motion.',
    constraints: { enum: FOOT_CLASSES },
    names: 'nobody',
    write: (row) => row.class,
  },
  answer: {
    type: 'string',
    description: 'What the observer said first.',
    constraints: { enum: FOOT_VALUES },
    names: 'nobody',
    write: ({ answer }) => answer,
  },
  foot: {
    type: 'string',
    description: 'Nearer to the observer or farther. Empty: not on record.',
    constraints: { enum: ['near', 'far'] },
    names: 'nobody',
    write: ({ foot }) => foot,
  },
  rate: {
    type: 'number',
    description: 'Speed of showing; 1 is as it happens.',
    names: 'nobody',
    write: ({ rate }) => String(rate),
  },
  level: {
    type: 'integer',
    description: '1 to 5; 4 is as at a race. Empty for a clip.',
    names: 'nobody',
    write: ({ level }) => numberCell(level),
  },
  angle: {
    type: 'number',
    description: 'Sole against the ground at contact, degrees, toes up positive. Empty for a clip.',
    names: 'nobody',
    write: ({ landing }) => numberCell(landing?.angle),
  },
  speed: {
    type: 'number',
    description: 'Metres a second. Empty for a clip.',
    names: 'nobody',
    write: ({ landing }) => numberCell(landing?.speed),
  },
  contact_ms: {
    type: 'number',
    description: 'Foot on the ground, milliseconds. Empty for a clip.',
    names: 'nobody',
    write: ({ landing }) => numberCell(landing?.contactMs),
  },
  occlusion: {
    type: 'number',
    description: 'Share of the foot’s length that was hidden. Empty for a clip.',
    names: 'nobody',
    write: ({ landing }) => numberCell(landing?.occlusion),
  },
  clutter: {
    type: 'integer',
    description: 'Other runners drawn. Empty for a clip.',
    names: 'nobody',
    write: ({ landing }) => numberCell(landing?.clutter),
  },
  response_ms: {
    type: 'number',
    description:
      'From first contact to the tap, milliseconds; of a clip from its beginning to the last tap of the two.',
    constraints: { minimum: 0 },
    names: 'nobody',
    write: ({ responseMs }) => String(responseMs),
  },
  shown_at: {
    type: 'datetime',
    description: 'When it was shown, UTC.',
    names: 'nobody',
    write: ({ shownAt }) => shownAt,
  },
  voided: {
    type: 'integer',
    description: 'How often it was shown before without counting, because a frame took more than 34 ms.',
    constraints: { minimum: 0 },
    names: 'nobody',
    write: ({ voided }) => String(voided),
  },
} as const satisfies Columns<PracticeRow>;

/** `practice-runners.csv`, which corrects the shares of a race. */
export const PRACTICE_RUNNER_COLUMNS = {
  item: {
    type: 'string',
    description: 'One runner: name of the set and of the clip.',
    names: 'nobody',
    freeText: true,
    write: ({ item }) => item,
  },
  observer: {
    type: 'string',
    description: 'Who practised.',
    names: 'person',
    freeText: true,
    write: ({ observer }) => observer,
  },
  key_left: {
    type: 'string',
    description: 'What the left foot did.',
    constraints: { enum: FOOT_CLASSES },
    names: 'nobody',
    write: ({ keyLeft }) => keyLeft,
  },
  key_right: {
    type: 'string',
    description: 'What the right foot did.',
    constraints: { enum: FOOT_CLASSES },
    names: 'nobody',
    write: ({ keyRight }) => keyRight,
  },
  left: {
    type: 'string',
    description: 'What the observer said of the left foot.',
    constraints: { enum: FOOT_VALUES },
    names: 'nobody',
    write: ({ left }) => left,
  },
  right: {
    type: 'string',
    description: 'What the observer said of the right foot.',
    constraints: { enum: FOOT_VALUES },
    names: 'nobody',
    write: ({ right }) => right,
  },
} as const satisfies Columns<RunnerAnswer>;
