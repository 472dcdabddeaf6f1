import { requireCount, requireNumber } from './require-number.ts';

/**
 * Erlang's loss formula: the share of arrivals that find all servers busy and are lost.
 *
 * Arrivals come by chance (Poisson), whoever is free takes the next, nobody waits. The distribution of the service times
 * does not matter, their mean does. B₀ = 1, B_m = a·B_{m−1} ÷ (m + a·B_{m−1}).
 *
 * Source: A. K. Erlang (1917); the recursion stands in any textbook of queues.
 *
 * @param servers whole, at least 0; with none all is lost
 * @param load a, arrivals to be expected during one service, at least 0
 * @throws RangeError for a number out of range
 *
 * @example
 * erlangLoss(5, 3); // 0.1101
 */
export function erlangLoss(servers: number, load: number): number {
  requireCount(servers, 'servers');
  requireNumber(load, 'load', 0, Number.MAX_VALUE);
  let lost = 1;
  for (let m = 1; m <= servers; m += 1) lost = (load * lost) / (m + load * lost);
  return lost;
}
