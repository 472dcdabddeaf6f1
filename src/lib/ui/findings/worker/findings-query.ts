import { SINGLE_FOOT_RULES } from '../../../sightings/runner-classes.ts';
import type { FindingsChoices, SquadRequest } from './findings-messages.ts';

/**
 * What was chosen, as the address keeps it: a link shows another person the same figures.
 *
 * @param last what was chosen here last, for what the address does not say
 */
export function choicesOfQuery(query: URLSearchParams, last: FindingsChoices = {}): FindingsChoices {
  const level = Number(query.get('level') ?? '');
  return {
    early: query.get('early') ?? last.early,
    late: query.get('late') ?? last.late,
    level: level > 0 && level < 1 ? level : last.level,
    singleFoot: SINGLE_FOOT_RULES.find((rule) => rule === query.get('foot')) ?? last.singleFoot,
  };
}

/** Whether an address says what to compare. */
export const choosesFindings = (query: URLSearchParams): boolean =>
  ['early', 'late', 'level', 'foot'].some((name) => query.has(name));

/** @param last the squad shown here last, for an address that names none */
export function squadOfQuery(query: URLSearchParams, last: SquadRequest): SquadRequest {
  if (!query.has('team') && !query.has('bibs')) return last;
  return { team: query.get('team'), bibs: (query.get('bibs') ?? '').split(',').filter((bib) => bib !== '') };
}

export const choicesInQuery = ({ early, late, level, singleFoot }: FindingsChoices): Record<string, string | null> => ({
  early: early ?? null,
  late: late ?? null,
  level: level === undefined ? null : String(level),
  foot: singleFoot ?? null,
});

export const squadInQuery = ({ team, bibs }: SquadRequest): Record<string, string | null> => ({
  team,
  bibs: bibs.join(','),
});

/** The address with these changes; an empty value leaves its name out. */
export function changedAddress(address: string, changes: Record<string, string | null>): URL {
  const url = new URL(address);
  for (const [key, value] of Object.entries(changes)) {
    if (value === null || value === '') url.searchParams.delete(key);
    else url.searchParams.set(key, value);
  }
  return url;
}
