/** Whether the browser promises to keep what is stored: one answer for every tab of this device. */
export class StorageKept {
  #kept = $state(false);

  get kept(): boolean {
    return this.#kept;
  }

  /** Asks the browser for it, and follows what other tabs are granted, until the returned function is called. */
  start(): () => void {
    const storage = (navigator as Partial<Navigator>).storage;
    const look = async () => {
      this.#kept = (await storage?.persisted?.()) ?? false;
    };
    const tabs = new BroadcastChannel('kerbside-storage');
    tabs.onmessage = () => void look().catch(() => undefined);
    const seen = () => {
      if (document.visibilityState === 'visible') look().catch(() => undefined);
    };
    document.addEventListener('visibilitychange', seen);
    let ended = false;
    const ask = async () => {
      const granted = (await storage?.persist?.()) ?? false;
      if (ended) return;
      this.#kept = granted;
      if (granted) tabs.postMessage('kept');
    };
    ask().catch(() => undefined);
    return () => {
      ended = true;
      tabs.close();
      document.removeEventListener('visibilitychange', seen);
    };
  }
}
