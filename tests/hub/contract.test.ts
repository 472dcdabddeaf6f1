import { describe } from 'vitest';
import { contractHub } from '../helpers/hub/contract-hub.ts';
import { sharedPostgres } from '../helpers/hub/shared-postgres.ts';
import { atOnceContract } from './contract/at-once.ts';
import { faultsContract } from './contract/faults.ts';
import { joiningContract } from './contract/joining.ts';
import { racesContract } from './contract/races.ts';
import { recordsContract } from './contract/records.ts';
import { streamsContract } from './contract/streams.ts';

const postgres = sharedPostgres();

/** What the hub promises, one file for each subject; one hub for all of them, since starting it is what takes the time. */
describe.each(['sqlite', 'postgres'] as const)('the hub on %s', (store) => {
  const hub = contractHub(store, () => postgres.newDatabase('contract'));
  faultsContract(hub);
  racesContract(hub);
  recordsContract(hub);
  streamsContract(hub);
  atOnceContract(hub);
  joiningContract(hub);
});
