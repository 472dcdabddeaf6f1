import type { KerbsideDatabase } from '../../../store/database.ts';
import { keepPracticeChoice, type PracticeChoice } from '../../../store/race/race-practice.ts';
import { storeFailure, storeFailureWords } from '../../../store/store-failure.ts';
import { readRunnerAnswers } from '../../../tables/practice/runner-answers-csv.ts';
import { tableFaultWords } from '../../../tables/csv/table-fault.ts';

/** As many faults of a file are said; the rest are counted. */
const FAULTS_SAID = 3;

/** Chooses which practice answers correct a race, and keeps the choice with it. */
export class RacePractice {
  #problem = $state('');

  /** @param changed called when another choice is kept */
  constructor(
    private readonly db: KerbsideDatabase,
    private readonly raceId: string,
    private readonly changed: () => void,
  ) {}

  /** What is wrong with the file or the store; empty when nothing is. */
  get problem() {
    return this.#problem;
  }

  /** Takes the answers of a file. What was used before stays where the file has a fault. */
  async takeFile(file: File): Promise<void> {
    const read = readRunnerAnswers(new Uint8Array(await file.arrayBuffer()));
    if (!read.ok) {
      const { faults, faultCount } = read.error;
      const said = faults.slice(0, FAULTS_SAID).map(tableFaultWords);
      const more = faultCount > said.length ? ` And ${faultCount - said.length} more.` : '';
      this.#problem = `${file.name} is not used. ${said.join('; ')}.${more}`;
      return;
    }
    if (read.value.length === 0) {
      this.#problem = `${file.name} is not used: it holds no answer.`;
      return;
    }
    await this.#keep({ from: 'file', name: file.name, answers: read.value });
  }

  useDevice(): Promise<void> {
    return this.#keep({ from: 'device' });
  }

  useNone(): Promise<void> {
    return this.#keep({ from: 'none' });
  }

  async #keep(choice: PracticeChoice): Promise<void> {
    this.#problem = '';
    try {
      await keepPracticeChoice(this.db, this.raceId, choice);
      this.changed();
    } catch (error) {
      this.#problem = storeFailureWords(storeFailure(error));
    }
  }
}
