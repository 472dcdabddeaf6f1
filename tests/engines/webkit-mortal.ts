import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Driver, Mortal, Ports } from './page.ts';
import { onScreen } from './webkit-screen.ts';

/** The engine's own small browser, where it is. */
export const MINI_BROWSER = ['x86_64', 'aarch64']
  .map((cpu) => `/usr/lib/${cpu}-linux-gnu/webkit2gtk-4.1/MiniBrowser`)
  .find((place) => existsSync(place));

const LONGEST_START_MS = 30_000;

/**
 * Under its driver the engine keeps nothing on the disk. Started as anybody would start it, it does, and its remote
 * inspector, which knows neither fingers nor tabs, runs what a scene wants to run.
 */
export function startMortal(ports: Ports): Promise<Mortal> {
  return open(mkdtempSync(join(tmpdir(), 'kerbside-webkit-')), ports);
}

async function open(home: string, ports: Ports): Promise<Mortal> {
  const at = `127.0.0.1:${ports.port}`;
  const screen = onScreen(ports.display, [MINI_BROWSER!, 'about:blank'], {
    HOME: home,
    XDG_CACHE_HOME: join(home, 'cache'),
    XDG_DATA_HOME: join(home, 'data'),
    WEBKIT_INSPECTOR_HTTP_SERVER: at,
  });
  const end = async () => {
    await screen.end();
    rmSync(home, { recursive: true, force: true, maxRetries: 20, retryDelay: 100 });
  };
  try {
    return {
      tab: tabOf(await Inspector.at(at)),
      async reopened() {
        await screen.end();
        return open(home, ports);
      },
      end,
    };
  } catch (error) {
    await end();
    throw error;
  }
}

function tabOf(inspector: Inspector): Driver {
  const cannot = () => Promise.reject(new Error('the inspector knows neither fingers nor tabs'));
  return {
    navigate: async (url) =>
      void (await inspector.call('Runtime.evaluate', { expression: `void (location.href = ${JSON.stringify(url)})` })),
    async evaluate(expression) {
      const begun = await inspector.call('Runtime.evaluate', { expression });
      const promiseObjectId = begun.result?.objectId;
      const ended = await inspector.call('Runtime.awaitPromise', { promiseObjectId, returnByValue: true });
      if (ended.wasThrown || typeof ended.result?.value !== 'string') {
        throw new Error(ended.result?.description ?? 'no answer');
      }
      return ended.result.value;
    },
    perform: cannot,
    newTab: cannot,
    close: cannot,
  };
}

interface Evaluated {
  readonly wasThrown?: boolean;
  readonly result?: { readonly objectId?: string; readonly value?: unknown; readonly description?: string };
}

interface Message {
  readonly id?: number;
  readonly method?: string;
  readonly params?: {
    readonly targetInfo?: { readonly targetId: string; readonly type: string };
    readonly message?: string;
  };
  readonly result?: Evaluated;
  readonly error?: { readonly message: string };
}

/** Commands to a page, wrapped in commands to its target; a page that moves to another process has another target. */
class Inspector {
  readonly #socket: WebSocket;
  readonly #waiting = new Map<number, { resolve: (result: Evaluated) => void; reject: (error: Error) => void }>();
  #target = '';
  #last = 0;

  private constructor(socket: WebSocket) {
    this.#socket = socket;
    socket.onmessage = ({ data }) => this.#hear(JSON.parse(String(data)) as Message);
    socket.onclose = () => this.#refuseAll('the browser is gone');
  }

  /** Waits until the browser that listens there shows a page. */
  static async at(address: string): Promise<Inspector> {
    const end = Date.now() + LONGEST_START_MS;
    for (;;) {
      const listed = await fetch(`http://${address}/`).then(
        (answer) => answer.text(),
        () => '',
      );
      const path = /\/socket\/\d+\/\d+\/WebPage/.exec(listed)?.[0];
      if (path) {
        const inspector = new Inspector(new WebSocket(`ws://${address}${path}`));
        while (inspector.#target === '' && Date.now() < end) await sleep(20);
        if (inspector.#target !== '') return inspector;
      }
      if (Date.now() > end) throw new Error(`no browser came up at ${address}`);
      await sleep(50);
    }
  }

  call(method: string, params: object): Promise<Evaluated> {
    return new Promise((resolve, reject) => {
      this.#last += 1;
      const message = JSON.stringify({ id: this.#last, method, params });
      this.#waiting.set(this.#last, { resolve, reject });
      const wrapped = { targetId: this.#target, message };
      this.#socket.send(JSON.stringify({ id: -this.#last, method: 'Target.sendMessageToTarget', params: wrapped }));
    });
  }

  #hear({ id, method, params, result, error }: Message): void {
    if (method === 'Target.targetCreated' && params?.targetInfo?.type === 'page')
      this.#target = params.targetInfo.targetId;
    if (method === 'Target.targetDestroyed') this.#refuseAll('the page moved to another process');
    if (method === 'Target.didCommitProvisionalTarget') this.#refuseAll('the page moved to another process');
    if (method === 'Target.dispatchMessageFromTarget') this.#hear(JSON.parse(params?.message ?? '{}') as Message);
    if (id === undefined) return;
    const one = this.#waiting.get(Math.abs(id));
    // The wrapper's own answer says no more than that it was passed on.
    if (!one || (id < 0 && !error)) return;
    this.#waiting.delete(Math.abs(id));
    if (error) one.reject(new Error(error.message));
    else one.resolve(result ?? {});
  }

  #refuseAll(why: string): void {
    for (const { reject } of this.#waiting.values()) reject(new Error(why));
    this.#waiting.clear();
  }
}
