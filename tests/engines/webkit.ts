import { existsSync } from 'node:fs';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Browser, Driver, Engine, Ports } from './page.ts';
import { MINI_BROWSER, startMortal } from './webkit-mortal.ts';
import { onScreen, XVFB } from './webkit-screen.ts';

const DRIVER = '/usr/bin/WebKitWebDriver';
const STARTS = 150;

/** The engine family of Safari, not Safari. Driven by WebDriver; waiting for a page to load hangs there, so nobody does. */
export const webkit: Engine = {
  name: 'WebKitGTK',
  packages: ['webkit2gtk-driver', 'xvfb', 'dbus'],
  found: () => [DRIVER, XVFB].every((place) => existsSync(place)) && MINI_BROWSER !== undefined,
  start,
  startMortal,
};

async function start({ port, display }: Ports): Promise<Browser> {
  const screen = onScreen(display, [DRIVER, `--port=${port}`]);
  const call = caller(`http://127.0.0.1:${port}`);
  try {
    return await newBrowser(call, screen.end);
  } catch (error) {
    await screen.end();
    throw error;
  }
}

/** A session has a browser of its own, whose storage ends with it. */
async function newBrowser(call: Call, endScreen: () => Promise<void>): Promise<Browser> {
  const at = `/session/${await newSession(call)}`;
  await call(`${at}/timeouts`, { script: 60_000 });
  const windows = new Windows(call, at);
  const tab = windows.tabOf((await call(`${at}/window`, undefined, 'GET')) as string);
  return {
    tab,
    async renewed() {
      await call(at, undefined, 'DELETE');
      return newBrowser(call, endScreen);
    },
    end: endScreen,
  };
}

type Call = (path: string, body?: object, method?: 'POST' | 'GET' | 'DELETE') => Promise<unknown>;

function caller(base: string): Call {
  return async (path, body, method = 'POST') => {
    const answer = await fetch(base + path, { method, ...(body ? { body: JSON.stringify(body) } : {}) });
    const { value } = (await answer.json()) as { value: unknown };
    if (answer.ok) return value;
    const { error, message } = value as { error: string; message: string };
    throw new Error(`${error}: ${message}`);
  };
}

async function newSession(call: Call): Promise<string> {
  const alwaysMatch = {
    browserName: 'MiniBrowser',
    pageLoadStrategy: 'none',
    'webkitgtk:browserOptions': { binary: MINI_BROWSER, args: ['--automation'] },
  };
  let failure: unknown;
  for (let tries = 0; tries < STARTS; tries += 1) {
    try {
      return ((await call('/session', { capabilities: { alwaysMatch } })) as { sessionId: string }).sessionId;
    } catch (error) {
      failure = error;
      await sleep(100);
    }
  }
  throw failure;
}

/** The windows of a session: commands go to one at a time, so that they take turns. */
class Windows {
  readonly #call: Call;
  readonly #at: string;
  #current = '';
  #turn: Promise<unknown> = Promise.resolve();

  constructor(call: Call, at: string) {
    this.#call = call;
    this.#at = at;
  }

  tabOf(handle: string): Driver {
    const here: Call = (path, body, method) => this.#inTurn(handle, path, body, method);
    return {
      navigate: async (url) => void (await here('/url', { url })),
      evaluate: async (expression) => {
        const script = `const done = arguments[arguments.length - 1];
          ${expression}.then((value) => done({ value }), (error) => done({ error: String(error) }));`;
        const answer = (await here('/execute/async', { script, args: [] })) as { value?: string; error?: string };
        if (answer.value === undefined) throw new Error(answer.error ?? 'no answer');
        return answer.value;
      },
      perform: async (actions) => void (await here('/actions', { actions })),
      newTab: async () => this.tabOf(((await here('/window/new', { type: 'tab' })) as { handle: string }).handle),
      close: async () => {
        await here('/window', undefined, 'DELETE');
        this.#current = '';
      },
    };
  }

  #inTurn(handle: string, path: string, body?: object, method?: 'POST' | 'GET' | 'DELETE'): Promise<unknown> {
    const work = async () => {
      if (this.#current !== handle) await this.#call(`${this.#at}/window`, { handle });
      this.#current = handle;
      return this.#call(this.#at + path, body, method);
    };
    const done = this.#turn.then(work, work);
    this.#turn = done.catch(() => undefined);
    return done;
  }
}
