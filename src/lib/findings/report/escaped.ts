const NAMED: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };

/** Text as it stands in HTML, in an attribute too. */
export const escaped = (text: string): string => text.replace(/[&<>"']/g, (letter) => NAMED[letter]!);
