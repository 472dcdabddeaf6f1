import { compareCodePoints } from './code-point-order.ts';
import { projectRecords } from './projection.ts';
import type { TallyRecord } from './record.ts';

/** What is known of one device's counting in one race. */
export interface DeviceCount {
  readonly device: string;
  /** The observer of its latest record. */
  readonly observer: string;
  /** How many of its records are here. */
  readonly records: number;
  readonly lastSeq: number;
  /** Runs of `seq` that are not here, first and last, below `lastSeq`. */
  readonly gaps: readonly (readonly [first: number, last: number])[];
}

/** Counts records by device and finds the gaps in each one's `seq`, by device. Any order and repetition gives the same. */
export function countByDevice(records: Iterable<TallyRecord>): DeviceCount[] {
  const byDevice = new Map<string, { seqs: Set<number>; lastSeq: number; observer: string }>();
  for (const { device, seq, observer } of records) {
    let count = byDevice.get(device);
    if (!count) byDevice.set(device, (count = { seqs: new Set(), lastSeq: 0, observer }));
    count.seqs.add(seq);
    // Two records with one seq are no record of one device; the greater text keeps the answer free of their order.
    if (seq > count.lastSeq || (seq === count.lastSeq && observer > count.observer)) {
      count.lastSeq = seq;
      count.observer = observer;
    }
  }
  return [...byDevice]
    .map(([device, { seqs, lastSeq, observer }]) => ({
      device,
      observer,
      records: seqs.size,
      lastSeq,
      gaps: gapsIn(seqs),
    }))
    .sort((a, b) => compareCodePoints(a.device, b.device));
}

/** Runners tallied by each device: its sightings that no withdrawal in force takes back. */
export function talliedByDevice(records: Iterable<TallyRecord>): Map<string, number> {
  const counts = new Map<string, number>();
  for (const { record, withdrawn } of projectRecords(records).sightings) {
    if (!withdrawn) counts.set(record.device, (counts.get(record.device) ?? 0) + 1);
  }
  return counts;
}

function gapsIn(seqs: ReadonlySet<number>): [number, number][] {
  const gaps: [number, number][] = [];
  let expected = 1;
  for (const seq of [...seqs].sort((a, b) => a - b)) {
    if (seq > expected) gaps.push([expected, seq - 1]);
    expected = seq + 1;
  }
  return gaps;
}

/** The short name by which people tell devices apart: the end of the device's id, in capitals. */
export function shortDeviceName(device: string): string {
  return device.slice(-4).toUpperCase();
}
