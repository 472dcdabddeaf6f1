import { RUNNERS_PER_TERM } from '../../which-test.ts';
import type { FinishModel } from './figures.ts';

/** Whether a model has runners enough for its terms to be spoken of and drawn. */
export const modelHolds = (model: FinishModel): boolean => model.n >= RUNNERS_PER_TERM * model.terms.length;
