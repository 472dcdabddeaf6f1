import type { Landing } from '../../../practice/landing.ts';

/** Which of the runner's feet is asked about: one who goes to the right has the right foot near. */
export function askedFoot({ foot, direction }: Pick<Landing, 'foot' | 'direction'>): 'left' | 'right' {
  return (foot === 'near') === (direction === 'right') ? 'right' : 'left';
}
