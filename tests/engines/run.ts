/**
 * What matters most of a race day, in the engines that tablets have beside Chromium: `npm run test:engines [ENGINE [SCENE
 * [KILLS]]]`. An engine that is not here, or whose driver does not start, is named and was not tried. A scene that fails is
 * run once more in a browser of its own, and named; when it fails twice, the run has failed.
 */
import { lookup } from 'node:dns/promises';
import { hostname } from 'node:os';
import process from 'node:process';
import { setTimeout as sleep } from 'node:timers/promises';
import { startHub } from '../helpers/hub/start-hub.mjs';
import { firefox } from './firefox.ts';
import { Page, type Browser, type Engine, type Ports } from './page.ts';
import { KILLED, killedAfterTap, SCENES } from './scenes.ts';
import { webkit } from './webkit.ts';

const [engineWanted = '', sceneWanted = '', kills = '4'] = process.argv.slice(2);
const KEY = 'engines-organiser-key-0123456789';
const PORT = Number(process.env['KERBSIDE_TEST_PORT'] ?? 4573);
/** Whether an engine that cannot be tried is a failure. */
const REQUIRED = process.env['KERBSIDE_ENGINES'] === 'required';
const STARTS = 3;
/** A driver that hangs would hang for ever. */
const LONGEST_START_MS = 60_000;
const LONGEST_SCENE_MS = 240_000;
/** A name of this machine that stays within it and that no browser takes for secure, as it does `localhost`. */
const plainName = await lookup(hostname(), 4).then(
  ({ address }) => (address.startsWith('127.') ? hostname() : null),
  () => null,
);
const seconds = (from: number): string => ((Date.now() - from) / 1000).toFixed(1);

async function within<Answer>(ms: number, work: Promise<Answer>): Promise<Answer> {
  const over = new AbortController();
  const late = sleep(ms, undefined, { signal: over.signal }).then(() => {
    throw new Error(`no end after ${ms / 1000} s`);
  });
  late.catch(() => undefined);
  try {
    return await Promise.race([work, late]);
  } finally {
    over.abort();
  }
}

/** The browser, or what its driver said at the last of a few tries. */
async function started(start: () => Promise<Browser>): Promise<Browser | Error> {
  let failure = new Error('not tried');
  for (let tries = 0; tries < STARTS; tries += 1) {
    const starting = start();
    try {
      return await within(LONGEST_START_MS, starting);
    } catch (error) {
      failure = error as Error;
      // What comes up too late is of no use any more.
      void starting.then(
        (browser) => browser.end(),
        () => undefined,
      );
    }
  }
  return failure;
}

/** One engine's run: scenes share a browser, with nothing stored, until one of them fails. */
class Run {
  readonly #engine: Engine;
  readonly #url: string;
  readonly #ports: Ports & { readonly hub: number };
  #browser: Browser | undefined;
  #work: Promise<void> = Promise.resolve();
  readonly failed: string[] = [];
  readonly onceMore: string[] = [];

  /** @param first of two ports that nobody else uses */
  constructor(engine: Engine, url: string, first: number) {
    this.#engine = engine;
    this.#url = url;
    this.#ports = { hub: first, port: first + 1, display: first % 10_000 };
  }

  /** Whether the engine's driver starts at all. */
  async start(): Promise<Error | undefined> {
    const browser = await started(() => this.#engine.start(this.#ports));
    if (browser instanceof Error) return browser;
    this.#browser = browser;
    return undefined;
  }

  async scene(name: string): Promise<void> {
    const work = name === KILLED ? () => this.#killed() : () => this.#together(name);
    if (await this.#passes(name, work)) return;
    this.onceMore.push(name);
    await this.end();
    // What ran too long ends with its browser; its hub must be gone before another one takes the port.
    await within(LONGEST_START_MS, this.#work).catch(() => undefined);
    if (!(await this.#passes(`${name}, once more`, work))) this.failed.push(name);
  }

  async end(): Promise<void> {
    await this.#browser?.end();
    this.#browser = undefined;
  }

  async #passes(name: string, work: () => Promise<void>): Promise<boolean> {
    const from = Date.now();
    try {
      this.#work = work();
      await within(LONGEST_SCENE_MS, this.#work);
      console.log(`  ✓ ${this.#engine.name}: ${name} (${seconds(from)} s)`);
      return true;
    } catch (error) {
      console.error(`  ✘ ${this.#engine.name}: ${name} (${seconds(from)} s)\n${(error as Error).stack}`);
      return false;
    }
  }

  async #together(name: string): Promise<void> {
    this.#browser = await (this.#browser?.renewed() ?? this.#engine.start(this.#ports));
    const browser = this.#browser;
    const mortal = await startHub({ port: this.#ports.hub, key: KEY });
    try {
      await SCENES[name]!({
        page: new Page(browser.tab),
        url: this.#url,
        plainUrl: plainName === null ? null : `http://${plainName}:${PORT}`,
        hub: mortal,
        key: KEY,
        newTab: async () => new Page(await browser.tab.newTab()),
      });
    } finally {
      await mortal.end();
    }
  }

  async #killed(): Promise<void> {
    await this.end();
    let mortal = await this.#engine.startMortal(this.#ports);
    try {
      await killedAfterTap({
        page: new Page(mortal.tab),
        url: this.#url,
        kills: Number(kills),
        reopened: async () => {
          mortal = await mortal.reopened();
          return new Page(mortal.tab);
        },
      });
    } finally {
      await mortal.end();
    }
  }
}

/** Whether nothing failed there. */
async function tried(engine: Engine, url: string, first: number): Promise<boolean> {
  const from = Date.now();
  const run = new Run(engine, url, first);
  const failure = engine.found() ? await run.start() : new Error(`not found; Debian: ${engine.packages.join(', ')}`);
  if (failure) {
    console.warn(`\n!! ${engine.name} WAS NOT TRIED: ${failure.message}\n`);
    return !REQUIRED;
  }
  try {
    for (const name of [...Object.keys(SCENES), KILLED]) if (name.includes(sceneWanted)) await run.scene(name);
  } finally {
    await run.end();
  }
  const notes = run.onceMore.length > 0 ? `; run twice: ${run.onceMore.join('; ')}` : '';
  console.log(`${engine.name}: ${seconds(from)} s, ${run.failed.length} failed${notes}`);
  return run.failed.length === 0;
}

const hub = await startHub({ port: PORT, key: KEY, env: { HOST: '0.0.0.0' } });
const wanted = [webkit, firefox].filter(({ name }) => name.toLowerCase().startsWith(engineWanted.toLowerCase()));
// One after the other: side by side each makes the other wait.
const passed: boolean[] = [];
for (const [i, engine] of wanted.entries()) passed.push(await tried(engine, hub.url, PORT + 1 + 3 * i));
await hub.end();
process.exit(passed.every(Boolean) ? 0 : 1);
