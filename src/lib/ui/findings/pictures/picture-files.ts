import { everyPicture, findingsPictures } from '../../../findings/findings-pictures.ts';
import type { Picture } from '../../../findings/series-picture.ts';
import { dateWords } from '../../../words/date-words.ts';
import type { FindingsResult } from '../worker/findings-messages.ts';
import type { PictureFormChoice } from './picture-form.svelte.ts';

/** The line under every saved picture: where its figures come from. */
export function pictureSource({ race, demo, findings }: FindingsResult): string {
  return `${race.name}, ${dateWords(race.date)} · ${findings.inputs.runners.toLocaleString('en-GB')} runners sighted${demo ? ' · invented demo race' : ''} · made with Kerbside`;
}

/** A picture as a file of the form that was chosen. The drawing code is large: it is loaded for the first one. */
export async function pictureFile(
  picture: Picture,
  source: string,
  { kind, widthMm, dpi }: PictureFormChoice,
): Promise<{ name: string; blob: Blob }> {
  const { picturePng, pictureSvgFile } = await import('./draw-picture.ts');
  const blob =
    kind === 'svg' ? pictureSvgFile(picture, source, widthMm) : await picturePng(picture, source, { widthMm, dpi });
  return { name: `${picture.id}.${kind}`, blob };
}

/** Every picture of the findings as a file, in the order of the page; none while nobody is sighted. */
export async function findingsPictureFiles(
  result: FindingsResult,
  form: PictureFormChoice,
): Promise<{ name: string; blob: Blob }[]> {
  if (!result.supplement) return [];
  const pictures = everyPicture(findingsPictures(result.findings, result.supplement, result.focus, result.level));
  const files: { name: string; blob: Blob }[] = [];
  for (const picture of pictures) files.push(await pictureFile(picture, pictureSource(result), form));
  return files;
}
