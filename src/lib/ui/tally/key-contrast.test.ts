import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';

const css = readFileSync(new URL('../app.css', import.meta.url), 'utf8');

/** The light half of each token: what is read outdoors. */
const LIGHT = new Map(
  [...css.matchAll(/--([\w-]+): light-dark\((#[0-9a-f]{6}),/g)].map(([, name, light]) => [name!, light!]),
);

/** Relative luminance of an sRGB colour. Source: WCAG 2.2, definition of relative luminance. */
function luminance(colour: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const c = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

/** Source: WCAG 2.2, definition of contrast ratio. */
function contrast(one: string, other: string): number {
  const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b) as [number, number];
  return (high + 0.05) / (low + 0.05);
}
const between = (one: string, other: string) => contrast(LIGHT.get(one)!, LIGHT.get(other)!);

test('black on white is 21:1, as WCAG 2.2 says', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10);
});

// 7:1 is WCAG 2.2, 1.4.6 (AAA) for text; the outlines' 4.5:1 is more than the 3:1 of 1.4.11, for glare. Common practice, no source.
describe('in the light theme, used outdoors', () => {
  test.each([
    ['a class', 'ink', 'rearfoot-tint'],
    ['a class', 'ink', 'midfoot-tint'],
    ['a class', 'ink', 'forefoot-tint'],
    ['not seen, and the keys beside the digits', 'ink', 'paper-2'],
    ['a digit', 'ink', 'paper'],
    ['a key that is down', 'ink', 'paper-3'],
    ['bib OK', 'accent-ink', 'accent'],
    ['undo while it asks, passed while it is due', 'ink', 'warn-paper'],
    ['the first of the row', 'paper', 'ink'],
    ['a warning', 'warn', 'warn-paper'],
    ['what is kept', 'good', 'paper'],
    ['a drawing on its key', 'rearfoot-ink', 'rearfoot-tint'],
    ['a drawing on its key', 'midfoot-ink', 'midfoot-tint'],
    ['a drawing on its key', 'forefoot-ink', 'forefoot-tint'],
  ])('the words of %s are at least 7:1 (%s on %s)', (_, text, behind) => {
    expect(between(text, behind)).toBeGreaterThanOrEqual(7);
  });

  test.each([
    ['rearfoot-ink', 'paper'],
    ['midfoot-ink', 'paper'],
    ['forefoot-ink', 'paper'],
    ['line-strong', 'paper'],
    ['line-strong', 'paper-2'],
    ['warn', 'paper'],
    ['warn', 'warn-paper'],
    ['good', 'paper'],
    ['focus', 'paper'],
  ])('an outline of %s on %s is at least 4.5:1', (outline, beside) => {
    expect(between(outline, beside)).toBeGreaterThanOrEqual(4.5);
  });
});
