/** Keeps the screen from sleeping while it is shown, where the browser lets a page ask for that. */
export class ScreenAwake {
  #held = $state(false);

  get held(): boolean {
    return this.#held;
  }

  /** Asks now and whenever the page comes back into view. Returns the way to stop. */
  hold(): () => void {
    if (!('wakeLock' in navigator)) return () => undefined;
    let lock: WakeLockSentinel | undefined;
    let ended = false;
    const ask = async () => {
      if (document.visibilityState !== 'visible' || (lock && !lock.released)) return;
      lock = await navigator.wakeLock.request('screen');
      if (ended) await lock.release();
      this.#held = !ended;
      lock.addEventListener('release', () => (this.#held = false));
    };
    // A refusal (low battery, say) is shown as *may sleep*.
    const tryAsking = () => {
      ask().catch(() => (this.#held = false));
    };
    tryAsking();
    document.addEventListener('visibilitychange', tryAsking);
    return () => {
      ended = true;
      document.removeEventListener('visibilitychange', tryAsking);
      lock?.release().catch(() => undefined);
    };
  }
}
