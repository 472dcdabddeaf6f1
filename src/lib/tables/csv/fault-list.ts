import type { TableFault } from './table-fault.ts';

/** What is wrong with a table: the first faults with their place, the rest counted. */
export class FaultList {
  readonly kept: TableFault[] = [];
  #count = 0;
  readonly #most: number;

  /** @param most how many are kept */
  constructor(most: number) {
    this.#most = most;
  }

  get count(): number {
    return this.#count;
  }

  add(fault: TableFault): void {
    this.addLater(() => fault);
  }

  /** As `add`; the fault is only made while there is room for it, so that a million of them cost little. */
  addLater(make: () => TableFault): void {
    this.#count += 1;
    if (this.kept.length < this.#most) this.kept.push(make());
  }
}
