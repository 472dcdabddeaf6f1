import type { TallyRecord } from './record.ts';

/** What every record begins with, enough to know it by. Of all but sightings the whole record stands in its place. */
export type RecordHead = Pick<TallyRecord, 'id' | 'kind' | 'race' | 'device'>;
