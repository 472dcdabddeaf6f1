import type { Held } from './hold-alone.ts';

/** How long the others have to answer, and after how long a tab that came second asks again, milliseconds. */
const WAITS = { answerMs: 250, againMs: 3000 };

interface Message {
  readonly kind: 'mine?' | 'taken';
  readonly asker: number;
}

/**
 * As `holdAlone`, where the browser has no locks: tabs ask each other. Of two that ask at once the lesser number is first; a
 * tab that has stopped answers nobody and is passed over.
 */
export async function holdByMessages(name: string, me: number, onHeld: () => void, waits = WAITS): Promise<Held> {
  const channel = new BroadcastChannel(name);
  let state: 'asking' | 'holds' | 'waits' = 'asking';
  let taken = false;
  channel.onmessage = ({ data: { kind, asker } }: MessageEvent<Message>) => {
    if (kind === 'taken') taken ||= asker === me;
    else if (state === 'holds' || (state === 'asking' && me < asker)) say('taken', asker);
    else if (state === 'asking') taken = true;
  };
  const say = (kind: Message['kind'], asker: number) => channel.postMessage({ kind, asker } satisfies Message);
  const ask = async () => {
    state = 'asking';
    taken = false;
    say('mine?', me);
    await new Promise((resolve) => setTimeout(resolve, waits.answerMs));
    state = taken ? 'waits' : 'holds';
    return !taken;
  };

  const first = await ask();
  let over = false;
  const askAgain = async () => {
    if (over || state !== 'waits') return;
    const held = await ask();
    if (held && !over) onHeld();
  };
  const timer = first ? undefined : setInterval(() => void askAgain(), waits.againMs);
  return {
    first,
    release: () => {
      over = true;
      clearInterval(timer);
      channel.close();
    },
  };
}
