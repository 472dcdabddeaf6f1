import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { endedWithUs } from './ended-with-us.ts';
import type { Browser, Driver, Engine, Mortal } from './page.ts';

const PLACES = ['/usr/bin/firefox-esr', '/usr/bin/firefox'];

/** No errands of its own on the net, no questions, few processes; a tab behind another one keeps its clocks. */
const PREFERENCES = {
  'app.normandy.enabled': false,
  'app.update.disabledForTesting': true,
  'browser.aboutwelcome.enabled': false,
  'browser.newtabpage.enabled': false,
  'browser.safebrowsing.malware.enabled': false,
  'browser.safebrowsing.phishing.enabled': false,
  'browser.sessionstore.resume_from_crash': false,
  'browser.shell.checkDefaultBrowser': false,
  'browser.startup.homepage': 'about:blank',
  'browser.startup.page': 0,
  'datareporting.policy.dataSubmissionEnabled': false,
  'dom.ipc.processPrelaunch.enabled': false,
  'dom.min_background_timeout_value': 4,
  'dom.timeout.enable_budget_timer_throttling': false,
  'extensions.update.enabled': false,
  'network.captive-portal-service.enabled': false,
  'network.connectivity-service.enabled': false,
  'remote.active-protocols': 1,
  'services.settings.server': 'data:,',
  'privacy.userContext.enabled': true,
  'toolkit.startup.max_resumed_crashes': -1,
  'toolkit.telemetry.enabled': false,
};

/** Driven by WebDriver BiDi, which the browser speaks itself. */
export const firefox: Engine = {
  name: 'Firefox',
  packages: ['firefox-esr'],
  found: () => PLACES.some((place) => existsSync(place)),
  start: async () => renewed(await open(newProfile())),
  startMortal: async () => open(newProfile()),
};

function newProfile(): string {
  const profile = mkdtempSync(join(tmpdir(), 'kerbside-firefox-'));
  const lines = Object.entries(PREFERENCES).map(([name, value]) => `user_pref("${name}", ${JSON.stringify(value)});\n`);
  writeFileSync(join(profile, 'user.js'), lines.join(''));
  return profile;
}

interface Opened extends Mortal {
  readonly call: Call;
}

async function open(profile: string): Promise<Opened> {
  const { child, endpoint } = await startProcess(profile);
  const kill = async () => {
    if (child.exitCode !== null || child.signalCode !== null) return;
    const gone = new Promise((resolve) => child.once('exit', resolve));
    process.kill(-child.pid!, 'SIGKILL');
    await gone;
  };
  const end = async () => {
    await kill();
    rmSync(profile, { recursive: true, force: true, maxRetries: 20, retryDelay: 100 });
  };
  try {
    const call = await connect(`${endpoint}/session`);
    await call('session.new', { capabilities: {} });
    const { contexts } = (await call('browsingContext.getTree', {})) as { contexts: { context: string }[] };
    return {
      call,
      tab: tabOf(call, contexts[0]!.context),
      async reopened() {
        await kill();
        return open(profile);
      },
      end,
    };
  } catch (error) {
    await end();
    throw error;
  }
}

/** A tab in a user context of its own: storage that nobody else has, in the browser that runs already. */
async function renewed(browser: Opened): Promise<Browser> {
  const { userContext } = (await browser.call('browser.createUserContext', {})) as { userContext: string };
  return {
    tab: await newTab(browser.call, userContext),
    async renewed() {
      const next = await renewed(browser);
      await browser.call('browser.removeUserContext', { userContext });
      return next;
    },
    end: browser.end,
  };
}

async function newTab(call: Call, userContext: string): Promise<Driver> {
  const { context } = (await call('browsingContext.create', { type: 'tab', userContext })) as { context: string };
  return tabOf(call, context, userContext);
}

async function startProcess(profile: string) {
  const child = spawn(
    PLACES.find((place) => existsSync(place))!,
    [
      '--headless',
      '--no-remote',
      '--profile',
      profile,
      '--remote-debugging-port',
      '0',
      '--width',
      '820',
      '--height',
      '1180',
    ],
    {
      detached: true,
      stdio: ['ignore', 'ignore', 'pipe'],
      env: { ...process.env, HOME: profile, MOZ_CRASHREPORTER_DISABLE: '1' },
    },
  );
  endedWithUs(child);
  const endpoint = await new Promise<string>((resolve, reject) => {
    let text = '';
    child.stderr.on('data', (piece: Buffer) => {
      text += piece.toString();
      const found = /WebDriver BiDi listening on (ws:\S+)/.exec(text)?.[1];
      if (found) resolve(found);
    });
    child.once('exit', () => reject(new Error(`Firefox did not start: ${text.slice(-400)}`)));
  });
  return { child, endpoint };
}

type Call = (method: string, params: object) => Promise<unknown>;

interface Message {
  readonly id?: number;
  readonly type: 'success' | 'error' | 'event';
  readonly result?: unknown;
  readonly error?: string;
  readonly message?: string;
}

async function connect(address: string): Promise<Call> {
  const socket = new WebSocket(address);
  await new Promise<void>((resolve, reject) => {
    socket.onopen = () => resolve();
    socket.onerror = () => reject(new Error(`no connection to ${address}`));
  });
  const waiting = new Map<number, { resolve: (result: unknown) => void; reject: (error: Error) => void }>();
  socket.onmessage = ({ data }) => {
    const { id = 0, type, result, error, message } = JSON.parse(String(data)) as Message;
    const one = waiting.get(id);
    waiting.delete(id);
    if (type === 'error') one?.reject(new Error(`${error}: ${message}`));
    else one?.resolve(result);
  };
  socket.onclose = () => {
    for (const { reject } of waiting.values()) reject(new Error('Firefox is gone'));
    waiting.clear();
  };
  let last = 0;
  return (method, params) =>
    new Promise((resolve, reject) => {
      last += 1;
      waiting.set(last, { resolve, reject });
      socket.send(JSON.stringify({ id: last, method, params }));
    });
}

interface Evaluated {
  readonly type: 'success' | 'exception';
  readonly result?: { readonly value: string };
  readonly exceptionDetails?: { readonly text: string };
}

function tabOf(call: Call, context: string, userContext = 'default'): Driver {
  return {
    navigate: async (url) => void (await call('browsingContext.navigate', { context, url, wait: 'none' })),
    evaluate: async (expression) => {
      const asked = { expression, target: { context }, awaitPromise: true };
      const { result, exceptionDetails } = (await call('script.evaluate', asked)) as Evaluated;
      if (!result) throw new Error(exceptionDetails?.text ?? 'no answer');
      return result.value;
    },
    perform: async (actions) => void (await call('input.performActions', { context, actions })),
    newTab: () => newTab(call, userContext),
    print: async () => ((await call('browsingContext.print', { context, background: true })) as { data: string }).data,
    close: async () => void (await call('browsingContext.close', { context })),
  };
}
