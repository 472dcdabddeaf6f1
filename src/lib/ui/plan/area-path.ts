/** Least distance between two times on the axis, CSS pixels: `0:30` has its room. */
const TICK_PX = 56;
const STEPS_MINUTES = [5, 10, 15, 30, 60, 120, 240, 480];

/** The outline of a count by minute, in steps, down to the base line. */
export function areaPath(
  perMinute: readonly number[],
  begin: number,
  x: (minute: number) => number,
  y: (n: number) => number,
): string {
  if (perMinute.length === 0) return '';
  const at = (value: number): string => value.toFixed(1);
  const steps = perMinute.map((n, i) => `V${at(y(n))}H${at(x(begin + i + 1))}`);
  return `M${at(x(begin))} ${at(y(0))}${steps.join('')}V${at(y(0))}Z`;
}

/** Round times along an axis that begins and ends anywhere, minutes. */
export function hourTicks(first: number, last: number, width: number): number[] {
  const most = Math.max(1, Math.floor(width / TICK_PX));
  const step = STEPS_MINUTES.find((minutes) => (last - first) / minutes <= most) ?? 960;
  const from = Math.ceil(first / step);
  return Array.from({ length: Math.max(0, Math.floor(last / step) - from + 1) }, (_, i) => (from + i) * step);
}
