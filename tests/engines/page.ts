import { setTimeout as sleep } from 'node:timers/promises';

/** What an engine's driver can do with one tab. */
export interface Driver {
  /** Begins to load; does not wait. */
  navigate: (url: string) => Promise<void>;
  /** Of an expression that is a promise of a string. */
  evaluate: (expression: string) => Promise<string>;
  /** Input actions as the WebDriver standard writes them. */
  perform: (actions: readonly object[]) => Promise<void>;
  newTab: () => Promise<Driver>;
  close: () => Promise<void>;
  /** The page as it would be printed, a PDF in Base64; missing where the driver cannot print. */
  print?: () => Promise<string>;
}

/** An engine's browser with one tab open and nothing stored. */
export interface Browser {
  readonly tab: Driver;
  /** The same browser, or another one, with one tab and nothing stored. */
  renewed: () => Promise<Browser>;
  end: () => Promise<void>;
}

/** A browser with its storage on the disk. Its tab may know neither input nor further tabs. */
export interface Mortal {
  readonly tab: Driver;
  /** Kills every process at once, as an empty battery would, and opens it again on the same storage. */
  reopened: () => Promise<Mortal>;
  end: () => Promise<void>;
}

export interface Ports {
  readonly port: number;
  readonly display: number;
}

export interface Engine {
  readonly name: string;
  /** Debian's packages that bring it. */
  readonly packages: readonly string[];
  found: () => boolean;
  start: (ports: Ports) => Promise<Browser>;
  startMortal: (ports: Ports) => Promise<Mortal>;
}

const PATIENCE_MS = 60_000;
const POLL_MS = 25;
/** Between two touches of one place: a quicker one counts as a bounce. */
const FINGER_MS = 60;

/** A page under test in any engine. Functions run in the page: they know their arguments alone, which travel as JSON. */
export class Page {
  readonly driver: Driver;

  constructor(driver: Driver) {
    this.driver = driver;
  }

  async run<Args extends unknown[], Answer>(
    work: (...args: Args) => Answer | Promise<Answer>,
    ...args: Args
  ): Promise<Answer> {
    const given = JSON.stringify(args).slice(1, -1);
    const text = await this.driver.evaluate(
      `(async () => JSON.stringify((await (${work.toString()})(${given})) ?? null))()`,
    );
    return JSON.parse(text) as Answer;
  }

  /** Asks until the answer is truthy. A page that is just loading may not answer: then it is asked again. */
  async until<Args extends unknown[], Answer>(
    what: string,
    work: (...args: Args) => Answer | Promise<Answer>,
    ...args: Args
  ): Promise<NonNullable<Answer>> {
    const end = Date.now() + PATIENCE_MS;
    let last = '';
    for (;;) {
      const answer = await this.run(work, ...args).catch((error: unknown) => {
        last = ` (${(error as Error).message})`;
        return null;
      });
      if (answer) return answer;
      if (Date.now() > end) {
        const seen = await this.run(() => document.body.innerText.slice(0, 600)).catch(() => '');
        throw new Error(`waited in vain for ${what}${last}; the page shows: ${seen}`);
      }
      await sleep(POLL_MS);
    }
  }

  async go(url: string): Promise<void> {
    await this.run(() => void Object.assign(window, { leaving: true })).catch(() => undefined);
    await this.driver.navigate(url);
    await this.until(`${url} to load`, () => !('leaving' in window) && document.readyState === 'complete');
  }

  async shows(text: string): Promise<void> {
    await this.until(`“${text}”`, (wanted: string) => document.body.innerText.includes(wanted), text);
  }

  /**
   * Presses with the engine's own input. Only some drivers have fingers; the others take them for a mouse.
   *
   * @param what a selector, or the words of a button or link
   */
  async press(what: string): Promise<void> {
    const { x, y } = await this.until(what, middleOf, what, false);
    const actions = [
      { type: 'pointerMove', x, y, duration: 0 },
      { type: 'pointerDown', button: 0 },
      { type: 'pointerUp', button: 0 },
    ];
    await this.driver.perform([{ type: 'pointer', id: 'touch', parameters: { pointerType: 'touch' }, actions }]);
    await sleep(FINGER_MS);
  }

  /** Clicks as a screen reader would: a driver's own input may hang. */
  async click(what: string): Promise<void> {
    await this.until(what, middleOf, what, true);
  }
}

/** Where it is once it is there and may be pressed; clicks it there and then if asked to. */
function middleOf(what: string, click: boolean): { x: number; y: number } | null {
  const seen = (one: Element | null): one is HTMLElement => one !== null && one.getClientRects().length > 0;
  const words = (one: Element) => (one.getAttribute('aria-label') ?? one.textContent).trim().replace(/\s+/g, ' ');
  const all = [...document.querySelectorAll<HTMLElement>('button, a')].filter(seen);
  const found = what.startsWith('[')
    ? document.querySelector(what)
    : (all.find((one) => words(one) === what) ?? all.find((one) => words(one).startsWith(what)) ?? null);
  if (!seen(found) || found.matches(':disabled')) return null;
  found.scrollIntoView({ block: 'nearest', inline: 'nearest' });
  if (click) found.click();
  const box = found.getBoundingClientRect();
  return { x: Math.round(box.x + box.width / 2), y: Math.round(box.y + box.height / 2) };
}
