import { describe, expect, it } from 'vitest';
import { catchOutput } from '../../tests/helpers/catch-output.ts';
import type { Command } from './command.ts';
import { runCommandLine, type Commands } from './run-command-line.ts';

const echo: Command = {
  name: 'echo',
  summary: 'Says its arguments',
  usage: 'Usage: echo WORD…\n',
  run(args, io) {
    io.out(args.join(' '));
    return Promise.resolve(7);
  },
};
const commands: Commands = {
  echo: () => Promise.resolve({ command: echo }),
};

describe('runCommandLine', () => {
  it('hands the rest of the arguments to the command and passes its exit code on', async () => {
    const { said, io } = catchOutput();
    expect(await runCommandLine(['echo', 'a', '--b'], commands, io)).toBe(7);
    expect(said).toEqual({ out: 'a --b', err: '' });
  });

  it('lists the commands for --help, on standard output', async () => {
    const { said, io } = catchOutput();
    expect(await runCommandLine(['--help'], commands, io)).toBe(0);
    expect(said.out).toContain('echo  Says its arguments');
    expect(said.err).toBe('');
  });

  it('answers --help of a command without running it', async () => {
    const { said, io } = catchOutput();
    expect(await runCommandLine(['echo', 'a', '--help'], commands, io)).toBe(0);
    expect(said.out).toBe(echo.usage);
  });

  it.each([[[]], [['toString']], [['ech']]])('refuses %j with exit code 2', async (args: string[]) => {
    const { said, io } = catchOutput();
    expect(await runCommandLine(args, commands, io)).toBe(2);
    expect(said.out).toBe('');
    expect(said.err).toContain('echo');
  });
});
