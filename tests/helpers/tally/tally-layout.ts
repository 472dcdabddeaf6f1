import type { Page } from '@playwright/test';

export type Size = readonly [width: number, height: number];

export const PHONES_AND_TABLETS: readonly Size[] = [
  [360, 640],
  [390, 844],
  [820, 1180],
  [1180, 820],
  [667, 375],
  [740, 360],
  [844, 390],
  [915, 412],
];

/** A phone with the browser's own bars on, and the smallest one held across. */
export const SMALLEST: readonly Size[] = [
  [360, 568],
  [568, 320],
  [740, 300],
];

/** 390 × 844 and 1180 × 820 zoomed to 200 %; 320 × 256 is what WCAG 2.2, 1.4.10 asks for. */
export const ZOOMED: readonly Size[] = [
  [195, 422],
  [590, 410],
  [320, 256],
];

/** Buttons that leave the screen, overlap another, or whose text is larger than they are; a note in the field that is cut short; and a screen that scrolls. */
export function faultsOfLayout(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const faults: string[] = [];
    const main = document.querySelector('main')!;
    if (main.scrollHeight > main.clientHeight) faults.push(`scrolls by ${main.scrollHeight - main.clientHeight}`);
    if (document.documentElement.scrollWidth > innerWidth) faults.push('wider than the screen');
    const name = (node: Element) => node.getAttribute('aria-label') ?? node.textContent.trim();
    const scrollsSideways = (node: Element | null): boolean =>
      node !== null &&
      node !== main &&
      (getComputedStyle(node).overflowX === 'auto' || scrollsSideways(node.parentElement));
    // A covered button stands behind the message of what was not kept; rows of bibs and checkpoints scroll sideways.
    const buttons = [...main.querySelectorAll('button')].filter((node) => {
      const box = node.getBoundingClientRect();
      return box.width > 0 && !scrollsSideways(node.parentElement);
    });
    for (const note of main.querySelectorAll<HTMLElement>('.field .note')) {
      const cut = note.scrollHeight > note.clientHeight + 1 || note.scrollWidth > note.clientWidth + 1;
      if (cut) faults.push(`“${note.innerText}” is cut off`);
    }
    const boxes = buttons.map((node) => node.getBoundingClientRect());
    boxes.forEach((a, i) => {
      const button = buttons[i]!;
      if (a.left < 0 || a.top < 0 || a.right > innerWidth + 0.5 || a.bottom > innerHeight + 0.5) {
        faults.push(`${name(button)} is cut off`);
      }
      if (button.scrollWidth > button.clientWidth + 1) faults.push(`${name(button)} is too narrow`);
      if (button.scrollHeight > button.clientHeight + 1) faults.push(`${name(button)} is too low`);
      boxes.slice(i + 1).forEach((b, j) => {
        const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        if (wide > 0.5 && high > 0.5) faults.push(`${name(button)} overlaps ${name(buttons[i + 1 + j]!)}`);
      });
    });
    return faults;
  });
}

/** Where each key of the foot grid and the bib pad lies, in whole pixels. */
export function placesOfKeys(page: Page): Promise<Record<string, number[]>> {
  return page.evaluate(() => {
    const keys = document.querySelectorAll('[data-cell], [aria-label="Bib pad"] button');
    return Object.fromEntries(
      [...keys].map((node, i) => {
        const { x, y, width, height } = node.getBoundingClientRect();
        return [`${i}`, [x, y, width, height].map(Math.round)];
      }),
    );
  });
}

/** The shorter side of the smallest target of each kind that is on screen, in pixels. */
export function smallestTargets(page: Page): Promise<{ feet: number; notSeen: number; pad: number; any: number }> {
  return page.evaluate(() => {
    const smallest = (selector: string) =>
      Math.min(
        ...[...document.querySelectorAll(`main ${selector}`)]
          .map((node) => node.getBoundingClientRect())
          .filter((box) => box.width > 0)
          .map((box) => Math.min(box.width, box.height)),
      );
    return {
      feet: smallest('[data-cell]:not([data-cell$="unseen"])'),
      notSeen: smallest('[data-cell$="unseen"]'),
      pad: smallest('[aria-label="Bib pad"] button'),
      any: smallest('button'),
    };
  });
}

/** Enabled buttons that another element covers, or that stay off screen, even when the page is scrolled to them. */
export function outOfReach(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const isHit = (node: Element) => {
      node.scrollIntoView({ block: 'nearest', inline: 'nearest' });
      const { x, y, width, height } = node.getBoundingClientRect();
      return node.contains(document.elementFromPoint(x + width / 2, y + height / 2));
    };
    return [...document.querySelectorAll('main button:enabled')]
      .filter((node) => node.checkVisibility({ visibilityProperty: true }) && !isHit(node))
      .map((node) => node.getAttribute('aria-label') ?? node.textContent.trim());
  });
}
