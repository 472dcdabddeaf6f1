import { utcInstant } from '../records/instant.ts';
import type { ErrorCode } from '../wire/wire-error.ts';

/** What somebody who was refused may have been trying. */
const TELLING = [
  'unknown-token',
  'unknown-code',
  'wrong-role',
  'wrong-race',
  'device-known',
  'too-many-tries',
  'foreign-origin',
] as const satisfies readonly ErrorCode[];
/** What changes who may do what, or takes something away. */
type Deed =
  'race-opened' | 'joined' | 'token-revoked' | 'tokens-revoked' | 'codes-renewed' | 'limit-lifted' | 'race-erased';

/** Lines of one kind within a minute. A guest who is refused on purpose must not fill the log: what comes beyond is counted. */
const MOST_REFUSALS = 10;
/** More than all tablets of a large race that join within one briefing. */
const MOST_DEEDS = 300;
const MINUTE_MS = 60_000;

interface Minute {
  lines: number;
  beyond: number;
}

/** Says on standard error, with the time, who was refused and what was done with rights. No token, code or key stands in it. */
export class SecurityLog {
  readonly #now: () => number;
  readonly #write: (line: string) => void;
  readonly #minutes = new Map<string, Minute>();

  /**
   * @param now the clock, milliseconds since 1970
   * @param write takes a line
   */
  constructor(now: () => number, write: (line: string) => void) {
    this.#now = now;
    this.#write = write;
  }

  /**
   * Notes a refusal, if it is of those that say something.
   *
   * @param call method and route, without what the caller put into the address
   * @param address whence it came
   */
  refused(code: ErrorCode, call: string, address: string): void {
    if ((TELLING as readonly ErrorCode[]).includes(code)) this.#note(code, `${call} from ${address}`, MOST_REFUSALS);
  }

  /** @param code what the TLS library calls it */
  handshakeFailed(code: string, address: string): void {
    this.#note('tls-failed', `${code} from ${address}`, MOST_REFUSALS);
  }

  /** @param device who did it; null for the organiser */
  done(deed: Deed, raceId: string, device: string | null, what = ''): void {
    const by = device === null ? 'the organiser' : `device ${JSON.stringify(device)}`;
    this.#note(deed, `race ${raceId} by ${by}${what && `, ${what}`}`, MOST_DEEDS);
  }

  #note(kind: string, facts: string, most: number): void {
    const minute = this.#minutes.get(kind) ?? this.#begin(kind);
    if (minute.lines >= most) {
      minute.beyond += 1;
      return;
    }
    minute.lines += 1;
    this.#write(`${utcInstant(this.#now())} ${kind}: ${facts}`);
  }

  #begin(kind: string): Minute {
    const minute = { lines: 0, beyond: 0 };
    this.#minutes.set(kind, minute);
    setTimeout(() => {
      this.#minutes.delete(kind);
      if (minute.beyond > 0) this.#write(`${utcInstant(this.#now())} ${kind}: ${minute.beyond} more within a minute`);
    }, MINUTE_MS).unref();
    return minute;
  }
}
