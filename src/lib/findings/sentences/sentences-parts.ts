/**
 * A stretch of a sentence; `strong` is what a person would repeat, `aside` what only a reviewer asks for: it is printed, and
 * on a screen stands in the tables instead.
 */
export type SentencePart = string | { readonly strong: string } | { readonly aside: string };

/** One sentence as parts, so that a screen can set its weight and a terminal can print it plain. */
export type Sentence = readonly SentencePart[];

export const strong = (text: string): SentencePart => ({ strong: text });

/** For paper and plain text: the screen leaves it to the tables. */
export const aside = (text: string): SentencePart => ({ aside: text });

/** A whole sentence for paper and plain text. */
export const asAside = (sentence: Sentence): Sentence => [aside(plain(sentence))];

/** Whether a screen leaves the whole sentence out. */
export const onPaperOnly = (sentence: Sentence): boolean =>
  sentence.every((part) => typeof part !== 'string' && 'aside' in part);

/** A stretch without its weight. */
export const partText = (part: SentencePart): string =>
  typeof part === 'string' ? part : 'strong' in part ? part.strong : part.aside;

/** Tag for sentences: ``say`At 10 km, ${strong('82 %')} of them …` ``. Empty parts fall away. */
export function say(texts: TemplateStringsArray, ...values: readonly (SentencePart | number | Sentence)[]): Sentence {
  const parts: SentencePart[] = [];
  texts.forEach((text, i) => {
    if (text !== '') parts.push(text);
    const value = values[i];
    if (value === undefined || value === '') return;
    if (typeof value === 'number') parts.push(String(value));
    else if (typeof value === 'string' || 'strong' in value || 'aside' in value) parts.push(value);
    else parts.push(...value);
  });
  return parts;
}

/** The sentence without weights. */
export function plain(sentence: Sentence): string {
  return sentence.map(partText).join('');
}
