import type { Io } from '../../src/cli/command.ts';

/** What a command is handed in place of the real world, and what it has said there. */
export function catchOutput(): { said: { out: string; err: string }; io: Io } {
  const said = { out: '', err: '' };
  const io: Io = {
    out: (text) => void (said.out += text),
    err: (text) => void (said.err += text),
    errIsTerminal: false,
  };
  return { said, io };
}
