import { expect, test } from 'vitest';
import { layCourse } from './lay-course.ts';
import { figuresOfCourse, planFigures } from './plan-figures.ts';
import { RememberedFields } from './remembered-fields.ts';

const planOf = (km: number, observers: number) => ({
  ...{ starters: 300, km: 42.195 },
  checkpoints: [
    { name: 'Old Pier', km, observers },
    { name: 'Quarry Hill', km: 32 },
  ],
});

test('figures from remembered fields are those computed anew, whatever came before', () => {
  const fields = new RememberedFields();
  const given = [planOf(10, 1), planOf(10, 2), planOf(12, 2), planOf(10, 2)];
  const lastYear = [9000, 9500, 14_000, 17_000];
  for (const finishes of [null, lastYear, [...lastYear], [9000, 9500, 14_000, 17_001], null]) {
    for (const plan of given) {
      const laid = layCourse(plan, finishes, fields.passingField);
      const anew = planFigures(plan, finishes);
      expect(laid.ok && figuresOfCourse(laid.value)).toEqual(anew.ok && anew.value);
    }
  }
});

test('a field is drawn up once, and again where it changed', () => {
  const { passingField } = new RememberedFields();
  const laid = layCourse(planOf(10, 1), null);
  if (!laid.ok) throw new Error('expected a course');
  const { plan } = laid.value;
  expect(passingField(plan, 10, null)).toBe(passingField(plan, 10, null));
  expect(passingField(plan, 11, null)).not.toBe(passingField(plan, 10, null));
  expect(passingField(plan, 10, [9000])).not.toBe(passingField(plan, 10, null));
});
