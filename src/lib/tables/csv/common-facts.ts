import type { Column } from './column.ts';

type Facts = Omit<Column<never>, 'write'>;

/** What the dictionary says of a column that several tables have; each table adds how it writes it. */
export const RACE_FACTS = {
  type: 'string',
  description: 'Name of the race.',
  names: 'nobody',
  freeText: true,
  read: 'needed',
} as const satisfies Facts;

export const KM_FACTS = {
  type: 'number',
  description: 'Distance of the checkpoint from the start, km.',
  names: 'nobody',
  read: 'needed',
} as const satisfies Facts;

/** A note may name anybody: coded exports leave it out. */
export const NOTE_FACTS = {
  type: 'string',
  description: 'Free text.',
  names: 'person',
  freeText: true,
  read: 'needed',
} as const satisfies Facts;
