import * as v from 'valibot';
import { raceIdSchema } from '../records/record-fields.ts';

/** Paths under which the calls live. `race` is the race's id. */
export const API = {
  health: '/api/v1/health',
  addresses: '/api/v1/addresses',
  join: '/api/v1/join',
  races: '/api/v1/races',
  race: (race: string) => `/api/v1/races/${encodeURIComponent(race)}`,
  startlist: (race: string) => `/api/v1/races/${encodeURIComponent(race)}/startlist`,
  results: (race: string) => `/api/v1/races/${encodeURIComponent(race)}/results`,
  devices: (race: string) => `/api/v1/races/${encodeURIComponent(race)}/devices`,
  observers: (race: string) => `/api/v1/races/${encodeURIComponent(race)}/observers`,
  records: (race: string) => `/api/v1/races/${encodeURIComponent(race)}/records`,
  stream: (race: string) => `/api/v1/races/${encodeURIComponent(race)}/stream`,
  codes: (race: string) => `/api/v1/races/${encodeURIComponent(race)}/codes`,
  tokens: (race: string) => `/api/v1/races/${encodeURIComponent(race)}/tokens`,
  token: (race: string, key: string) => `/api/v1/races/${encodeURIComponent(race)}/tokens/${encodeURIComponent(key)}`,
  limits: (race: string) => `/api/v1/races/${encodeURIComponent(race)}/limits`,
  refused: (race: string) => `/api/v1/races/${encodeURIComponent(race)}/refused`,
} as const;

/** Whether `text` can be the id of a race. */
export function isRaceId(text: string): boolean {
  return v.is(raceIdSchema, text);
}
