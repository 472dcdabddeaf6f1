import type { StoreFailure } from '../store/store-failure.ts';
import { storeFailureWords } from '../store/store-failure.ts';
import type { HubFailure } from './hub-client.ts';
import type { SyncState } from './sync-state.ts';

export interface OwnCounts {
  /** Own sightings that are not withdrawn. */
  readonly tallied: number;
  /** Own records that the hub does not have. */
  readonly waiting: number;
  /** Records of other devices that are here. */
  readonly pulled: number;
}

/** The state in one line that can be read at arm's length. `clock` writes milliseconds since 1970 as a time of day. */
export function syncHeadline(state: SyncState, counts: OwnCounts, clock: (ms: number) => string): string {
  const { tallied, waiting } = counts;
  if (state.role === null) return `${tallied} tallied on this device, which has not joined a hub`;
  const { problem, problemSince } = state;
  const since = problemSince === null ? '' : ` since ${clock(problemSince)}`;
  const refused = Math.min(state.refused.length, waiting);
  const toSend = waiting - refused;
  if (problem !== null && toSend > 0) return `${toSend} waiting, ${problemWords(problem)}${since}`;
  if (problem !== null) return `${atHub(state, counts)}; ${problemWords(problem)}${since}`;
  if (toSend > 0) return `${toSend} waiting, on their way to the hub`;
  if (refused > 0) return `The hub refused ${refused === 1 ? '1 record' : `${refused} records`}`;
  return atHub(state, counts);
}

function atHub({ role }: SyncState, { tallied, waiting, pulled }: OwnCounts): string {
  // A lead's laptop tallies nothing itself: what it holds is what its owner wants to know.
  if (role !== 'observer' && tallied === 0 && waiting === 0) return `${pulled} records here from the hub`;
  return waiting === 0 ? `${tallied} tallied, ${tallied} at the hub` : `${tallied} tallied, ${waiting} not at the hub`;
}

function problemWords(problem: HubFailure | StoreFailure): string {
  switch (problem.type) {
    case 'no-network':
      return 'no network';
    case 'hub-failing':
      return 'the hub cannot store just now';
    case 'strange-answer':
      return 'something other than the hub answers';
    case 'slow-down':
      return 'the hub asks this device to wait';
    case 'refused':
      return 'the hub refuses this device';
    default:
      return 'this device’s storage is failing';
  }
}

/** What is wrong and what to do about it. */
export function failureAdvice(failure: HubFailure | StoreFailure): string {
  switch (failure.type) {
    case 'no-network':
      return 'The hub does not answer. Tally on: every record is kept here and sent as soon as it answers.';
    case 'hub-failing':
      return `The hub is there but cannot store just now (status ${failure.status}). Records stay here and are sent again.`;
    case 'strange-answer':
      return (
        `Something other than the hub answered (status ${failure.status}), perhaps the sign-in page of this network. ` +
        'Sign in there, or change to the network of the hub.'
      );
    case 'slow-down':
      return failure.message;
    case 'refused':
      return refusedAdvice(failure.status, failure.message);
    default:
      return storeFailureWords(failure);
  }
}

function refusedAdvice(status: number, message: string): string {
  if (status === 401) return `${message} Join again with the code that is valid now; nothing tallied here is lost.`;
  if (status === 404) return `${message} If its data were moved, join again there; nothing tallied here is lost.`;
  return message;
}

/** Why the hub did not take a record, in words for whoever has to mend it. */
export function refusalWords(reason: string): string {
  if (reason === 'conflict') return 'The hub has another record with the same id. It keeps both apart for the lead.';
  if (reason === 'unknown checkpoint')
    return 'The race at the hub has no such checkpoint. The lead can add it; then send again.';
  if (reason === 'wrong device') return 'It was made by a device other than the one that joined.';
  if (reason === 'wrong role') return 'Only the organiser may send such a record.';
  if (reason === 'wrong race') return 'It belongs to another race.';
  if (/^malformed: kind\b/.test(reason)) {
    return 'The hub is older than this app and does not know this kind of record. It is kept here, and handed in again once the hub is updated.';
  }
  return reason.replace(/^malformed: ?/, 'The hub cannot read it: ');
}
