import about from '../../package.json' with { type: 'json' };
import { EXIT_DONE, EXIT_FAULT, type Command, type Io } from './command.ts';

/** The commands by name. Each is loaded when it is asked for, so that none slows the start of another. */
export type Commands = Readonly<Record<string, () => Promise<{ command: Command }>>>;

async function overview(commands: Commands): Promise<string> {
  const loaded = await Promise.all(Object.values(commands).map((load) => load()));
  const width = Math.max(0, ...loaded.map(({ command }) => command.name.length));
  const lines = loaded.map(({ command }) => `  ${command.name.padEnd(width)}  ${command.summary}`);
  return [
    'Usage: npm run --silent kerbside -- COMMAND [OPTIONS]',
    '',
    'Commands:',
    ...lines,
    '',
    'COMMAND --help says what a command takes, --version which version this is. Exit code 0: done; 2: an option or a file is at fault.',
    '',
  ].join('\n');
}

/**
 * Finds the command that the arguments name and runs it.
 *
 * @returns the exit code of the process
 */
export async function runCommandLine(args: readonly string[], commands: Commands, io: Io): Promise<number> {
  const [name, ...rest] = args;
  if (name === undefined) {
    io.err(await overview(commands));
    return EXIT_FAULT;
  }
  if (name === '--help' || name === '-h' || name === 'help') {
    io.out(await overview(commands));
    return EXIT_DONE;
  }
  if (name === '--version' || name === '-V') {
    io.out(`kerbside ${about.version}\n`);
    return EXIT_DONE;
  }
  const load = Object.hasOwn(commands, name) ? commands[name] : undefined;
  if (!load) {
    const known = Object.keys(commands).join(', ');
    io.err(`kerbside: there is no command "${name}"; the commands are ${known}\n`);
    return EXIT_FAULT;
  }
  const { command } = await load();
  if (rest.includes('--help') || rest.includes('-h')) {
    io.out(command.usage);
    return EXIT_DONE;
  }
  return command.run(rest, io);
}
