import { parseArgs, type ParseArgsConfig } from 'node:util';
import { EXIT_FAULT, type Command, type Io } from './command.ts';

type Options = NonNullable<ParseArgsConfig['options']>;

/** Option values by name, and the file names that stand between them. */
export interface GivenOptions<Taken extends Options> {
  readonly values: ReturnType<typeof parseArgs<{ options: Taken }>>['values'];
  readonly files: readonly string[];
}

export interface CommandParts<Taken extends Options, Asked extends object> {
  readonly name: string;
  readonly summary: string;
  readonly usage: string;
  readonly options: Taken;
  /** Whether file names may stand between the options. */
  readonly takesFiles?: boolean;
  /** What is asked for, or one sentence on what is wrong with it. */
  readonly understand: (given: GivenOptions<Taken>) => Asked | string;
  /** Does it; the exit code. */
  readonly run: (asked: Asked, io: Io) => Promise<number>;
}

/** Makes a command: its options are read in one way, and what is wrong with them is said in one way. */
export function makeCommand<const Taken extends Options, Asked extends object>(
  parts: CommandParts<Taken, Asked>,
): Command {
  const { name, summary, usage } = parts;
  return {
    ...{ name, summary, usage },
    async run(args, io) {
      const asked = askedFor(args, parts);
      if (typeof asked !== 'string') return parts.run(asked, io);
      io.err(`kerbside ${name}: ${asked}\n`);
      return EXIT_FAULT;
    },
  };
}

function askedFor<Taken extends Options, Asked extends object>(
  args: string[],
  { options, takesFiles = false, understand }: CommandParts<Taken, Asked>,
): Asked | string {
  let given: GivenOptions<Taken>;
  try {
    const { values, positionals } = parseArgs({ args, options, allowPositionals: takesFiles });
    given = { values, files: positionals };
  } catch (error) {
    // What is wrong, without the advice after it on arguments that begin with a hyphen.
    return (error as Error).message.split(/\n|\. /)[0]!;
  }
  return understand(given);
}
