import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import process from 'node:process';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Browser, Driver, Engine } from './page.ts';

const DRIVER = '/usr/bin/WebKitWebDriver';
const SCREEN = '/usr/bin/Xvfb';
const PLACES = ['x86_64', 'aarch64'].map((cpu) => `/usr/lib/${cpu}-linux-gnu/webkit2gtk-4.1/MiniBrowser`);
const STARTS = 150;

/** The engine family of Safari, not Safari. Driven by WebDriver; waiting for a page to load hangs there, so nobody does. */
export const webkit: Engine = {
  name: 'WebKitGTK',
  packages: ['webkit2gtk-driver', 'xvfb', 'dbus'],
  found: () => [DRIVER, SCREEN].every((place) => existsSync(place)) && PLACES.some((place) => existsSync(place)),
  start,
};

async function start({ port, display }: { port: number; display: number }): Promise<Browser> {
  const size = ['-screen', '0', '1100x1300x24', '-nolisten', 'tcp'];
  const screen = spawn(SCREEN, [`:${display}`, ...size], { stdio: 'ignore' });
  const driver = spawn('dbus-run-session', ['--', DRIVER, `--port=${port}`], {
    detached: true,
    stdio: 'ignore',
    // Under root there is no sandbox to be had, and under a made-up screen no graphics card.
    env: {
      ...process.env,
      DISPLAY: `:${display}`,
      LIBGL_ALWAYS_SOFTWARE: '1',
      WEBKIT_DISABLE_COMPOSITING_MODE: '1',
      WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS: '1',
    },
  });
  const call = caller(`http://127.0.0.1:${port}`);
  const endProcesses = () => {
    process.kill(-driver.pid!, 'SIGKILL');
    screen.kill('SIGKILL');
  };
  try {
    const at = `/session/${await newSession(call)}`;
    await call(`${at}/timeouts`, { script: 60_000 });
    const windows = new Windows(call, at);
    const end = async () => {
      await call(at, undefined, 'DELETE').catch(() => undefined);
      endProcesses();
    };
    const browserOn = (tab: Driver): Browser => ({
      tab,
      // Under automation the storage lives as long as the browser, and a session ends with the process of its page: a
      // kill cannot be tried here. The page is closed and another one opened.
      async reopened() {
        const another = await tab.newTab();
        await tab.close();
        return browserOn(another);
      },
      end,
    });
    return browserOn(windows.tabOf((await call(`${at}/window`, undefined, 'GET')) as string));
  } catch (error) {
    endProcesses();
    throw error;
  }
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
  const binary = PLACES.find((place) => existsSync(place))!;
  const alwaysMatch = {
    browserName: 'MiniBrowser',
    pageLoadStrategy: 'none',
    'webkitgtk:browserOptions': { binary, args: ['--automation'] },
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
