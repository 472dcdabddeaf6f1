import type { SamplingRule } from './race.ts';

/** What the sampling rule says of the runner who comes next. */
export type SamplingAdvice =
  | { readonly kind: 'everyone'; readonly classNext: true }
  | { readonly kind: 'every'; readonly classNext: boolean; readonly k: number; readonly position: number }
  | { readonly kind: 'windows'; readonly classNext: boolean; readonly changesAt: number }
  | { readonly kind: 'endings'; readonly classNext: boolean; readonly bib: string | null | undefined };

/**
 * @param passed runners counted so far at this station, classed or not
 * @param at the moment, milliseconds since 1970
 * @param timeZone the wall clock of time windows (IANA); without it the device's own
 * @param bib whose feet come next, as far as it is typed; `null` is no bib, `undefined` not known yet
 * @returns with `every`, `position` 1 to k in the present round: the k-th is to be classed; with `windows`,
 *   `changesAt` is the end of the present window or pause in milliseconds since 1970
 */
export function samplingAdvice(
  rule: SamplingRule,
  passed: number,
  at: number,
  timeZone: string | undefined,
  bib?: string | null,
): SamplingAdvice {
  switch (rule.kind) {
    case 'everyone':
      return { kind: 'everyone', classNext: true };
    case 'every': {
      const position = (((passed % rule.k) + rule.k) % rule.k) + 1;
      return { kind: 'every', classNext: position === rule.k, k: rule.k, position };
    }
    case 'windows': {
      const msOfHour = millisecondOfHour(at, timeZone);
      const everyMs = rule.everyMinutes * 60_000;
      const onMs = rule.onMinutes * 60_000;
      const from = Math.floor(msOfHour / everyMs) * everyMs;
      const classNext = msOfHour - from < onMs;
      // The hour begins a window of its own, also when the last one before it is cut short.
      const end = Math.min(classNext ? from + onMs : from + everyMs, 3_600_000);
      return { kind: 'windows', classNext, changesAt: at + end - msOfHour };
    }
    case 'endings':
      return { kind: 'endings', classNext: bib === undefined || isDueByEnding(rule.endings, bib), bib };
  }
}

/** Whether the rule of endings asks for this bib. No bib is not due. */
export function isDueByEnding(endings: readonly string[], bib: string | null): boolean {
  return bib !== null && endings.some((ending) => bib.endsWith(ending));
}

function millisecondOfHour(at: number, timeZone: string | undefined): number {
  const parts = new Intl.DateTimeFormat('en-GB', {
    minute: 'numeric',
    second: 'numeric',
    ...(timeZone ? { timeZone } : {}),
  }).formatToParts(at);
  const number = (type: string) => Number(parts.find((part) => part.type === type)?.value ?? 0);
  return number('minute') * 60_000 + number('second') * 1000 + (((at % 1000) + 1000) % 1000);
}
