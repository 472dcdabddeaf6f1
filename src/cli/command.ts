/**
 * What a command may touch of the world around it; tests hand in their own. Characters that steer a terminal are shown by
 * their number, whatever file they came from.
 */
export interface Io {
  /** Writes to standard output: end lines yourself. */
  out(text: string): void;
  /** Writes to standard error: end lines yourself. A carriage return at the start writes over the line that stands there. */
  err(text: string): void;
  /** Whether standard error is a terminal: only then is progress worth showing. */
  readonly errIsTerminal: boolean;
  /** Columns of the terminal that standard output is, or as the environment says; not there when neither tells. */
  readonly width?: number | undefined;
}

/** Columns of a text whose reader is no terminal. */
export const USUAL_WIDTH = 80;

/** Exit code when the command did what it was asked. */
export const EXIT_DONE = 0;
/** Exit code when an option or a file is at fault; what is wrong stands on standard error. */
export const EXIT_FAULT = 2;

export interface Command {
  readonly name: string;
  /** One line for the list of commands, without a full stop. */
  readonly summary: string;
  /** The whole help text of the command, ending with a line end. */
  readonly usage: string;
  /**
   * Runs the command. Bad input is said through `io.err`, one line for each fault, and answered with
   * {@link EXIT_FAULT}; only a programmer's mistake throws.
   *
   * @param args what follows the command's name; `--help` is answered before this is called
   * @returns the exit code
   */
  run(args: string[], io: Io): Promise<number>;
}
