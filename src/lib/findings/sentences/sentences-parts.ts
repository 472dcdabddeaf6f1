/** A stretch of a sentence; `strong` is what a person would repeat. */
export type SentencePart = string | { readonly strong: string };

/** One sentence as parts, so that a screen can set its weight and a terminal can print it plain. */
export type Sentence = readonly SentencePart[];

export const strong = (text: string): SentencePart => ({ strong: text });

/** Tag for sentences: ``say`At 10 km, ${strong('82 %')} of them …` ``. Empty parts fall away. */
export function say(texts: TemplateStringsArray, ...values: readonly (SentencePart | number | Sentence)[]): Sentence {
  const parts: SentencePart[] = [];
  texts.forEach((text, i) => {
    if (text !== '') parts.push(text);
    const value = values[i];
    if (value === undefined || value === '') return;
    if (typeof value === 'number') parts.push(String(value));
    else if (typeof value === 'string' || 'strong' in value) parts.push(value);
    else parts.push(...value);
  });
  return parts;
}

/** The sentence without weights. */
export function plain(sentence: Sentence): string {
  return sentence.map((part) => (typeof part === 'string' ? part : part.strong)).join('');
}
