/** Offers `blob` as a download named `name`. */
export function saveBlob(blob: Blob, name: string): void {
  const url = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  // Some browsers read the address only after this task.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}
