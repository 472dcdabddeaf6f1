/** What this browser holds back here and what that means at the kerb; empty when nothing is. */
export function browserLacks({ isSecureContext, navigator }: Pick<Window, 'isSecureContext' | 'navigator'>): string[] {
  const lacks: string[] = [];
  if (!isSecureContext || !('serviceWorker' in navigator)) {
    lacks.push(
      'Opening or reloading the page without network. Leave it open, and do not reload while the hub is away.',
    );
  }
  if (!('wakeLock' in navigator)) {
    lacks.push('Keeping the screen awake. Set the tablet itself to let it sleep as late as possible.');
  }
  if (typeof (navigator as Partial<Navigator>).storage?.persist !== 'function') {
    lacks.push('Asking the browser to keep its storage for good. Hand in before you tidy up the tablet.');
  }
  return lacks;
}
