/** Steps a minute that are reckoned with before any step is marked (common practice, no source). */
const USUAL_CADENCE = 165;

/**
 * When the next contact is to be expected, seconds of recorded time: the last contact before `from` and the median step of
 * this runner. Without a contact, a usual step from where one is.
 *
 * @param contacts recorded seconds of the runner's contacts, rising
 */
export function expectedContact(contacts: readonly number[], from: number): number {
  const steps = contacts.slice(1).map((at, i) => at - contacts[i]!);
  const sorted = steps.toSorted((a, b) => a - b);
  const step = sorted.length > 0 ? sorted[sorted.length >> 1]! : 60 / USUAL_CADENCE;
  return (contacts.findLast((at) => at <= from) ?? from) + step;
}

/** The frame whose time is nearest, of rising times. */
export function nearestFrame(times: ArrayLike<number>, time: number): number {
  let [low, high] = [0, times.length - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle]! < time) low = middle + 1;
    else high = middle;
  }
  return low > 0 && time - times[low - 1]! <= times[low]! - time ? low - 1 : low;
}
