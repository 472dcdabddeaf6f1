import { everyPicture, findingsPictures } from '../../findings/findings-pictures.ts';
import { dateWords } from '../../words/numbers.ts';
import type { FindingsResult } from './findings-messages.ts';

/** The line under every saved picture: where its figures come from. */
export function pictureSource({ race, demo, findings }: FindingsResult): string {
  return `${race.name}, ${dateWords(race.date)} · ${findings.inputs.runners.toLocaleString('en-GB')} runners sighted${demo ? ' · invented demo race' : ''} · made with Kerbside`;
}

/** Every picture of the findings as a PNG file, in the order of the page; none while nobody is sighted. */
export async function findingsPngs(result: FindingsResult): Promise<{ name: string; blob: Blob }[]> {
  if (!result.supplement) return [];
  // The drawing code is large: whoever only exports tables does not load it.
  const { picturePng } = await import('./pictures/draw-picture.ts');
  const pictures = everyPicture(findingsPictures(result.findings, result.supplement, result.focus, result.level));
  const files: { name: string; blob: Blob }[] = [];
  for (const picture of pictures) {
    files.push({ name: `${picture.id}.png`, blob: await picturePng(picture, pictureSource(result)) });
  }
  return files;
}
