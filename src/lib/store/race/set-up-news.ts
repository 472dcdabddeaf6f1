import { raceChannel } from '../race-channel.ts';

const channel = raceChannel('kerbside-set-up');

/** Says to every listener of every tab that a race's set-up, start list or results are others now on this device. */
export const tellOfSetUp = channel.tell;

/**
 * Calls `listener` soon after the race's set-up or lists were changed on this device, by a person or because the hub has
 * others. Returns the way to stop.
 */
export const hearOfSetUp = channel.hear;
