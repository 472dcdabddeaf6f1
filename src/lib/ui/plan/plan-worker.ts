// Computes a plan off the page: a field of 40,000 must not hold up a tap.
import { layCourse } from '../../plan/lay-course.ts';
import { lineFaultWords } from '../../plan/line-fault-words.ts';
import { outlookOf } from '../../plan/outlook.ts';
import { figuresOfCourse } from '../../plan/plan-figures.ts';
import { planCautions } from '../../plan/plan-notes.ts';
import { readPlan } from '../../plan/read-plan.ts';
import { RememberedFields } from '../../plan/remembered-fields.ts';
import type { PlanReply, PlanRequest } from './plan-messages.ts';

const fields = new RememberedFields();

function answer({ id, given, finishes }: PlanRequest): PlanReply {
  const startedMs = performance.now();
  const plan = readPlan(given);
  if (!plan.ok) return { id, kind: 'faults', faults: plan.error.faults };
  const laid = layCourse(plan.value, finishes, fields.passingField);
  if (!laid.ok) return { id, kind: 'faults', faults: [lineFaultWords(laid.error)] };
  const figures = figuresOfCourse(laid.value);
  const outlook = outlookOf(laid.value, figures.candidates);
  const cautions = planCautions(laid.value.plan, figures).filter((note) => !note.startsWith('recommended.'));
  return { id, kind: 'plan', figures, outlook, cautions, tookMs: performance.now() - startedMs };
}

onmessage = (event: MessageEvent<PlanRequest>) => postMessage(answer(event.data));
