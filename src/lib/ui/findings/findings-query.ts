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
    singleFoot: query.get('foot') === 'use' ? 'use' : last.singleFoot,
  };
}

export function squadOfQuery(query: URLSearchParams): SquadRequest {
  return { team: query.get('team'), bibs: (query.get('bibs') ?? '').split(',').filter((bib) => bib !== '') };
}

export const choicesInQuery = ({ early, late, level, singleFoot }: FindingsChoices): Record<string, string | null> => ({
  early: early ?? null,
  late: late ?? null,
  level: level === 0.95 ? null : String(level ?? ''),
  foot: singleFoot === 'use' ? 'use' : null,
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
