import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Browser } from '@playwright/test';
import { codePicture, type CodePicture } from '../../../src/lib/ui/screen/show/code-picture.ts';
import { chromiumPath } from '../browser/chromium.mjs';

/** Clips that show codes flat and sharp: for what happens after a code was read. Camera-like ones are in tests/reference/screen. */
const CLIP = { width: 640, height: 480, fps: 30 } as const;
const PAPER = 235;
const INK = 16;
const FLAGS = ['--no-sandbox', '--disable-gpu', '--disable-background-networking', '--use-fake-ui-for-media-stream'];

/** One picture of the clip: a code in the middle of white paper, as large as fits. */
function lumaOf({ side, dark }: CodePicture): Uint8Array {
  const luma = new Uint8Array(CLIP.width * CLIP.height).fill(PAPER);
  const scale = Math.floor(CLIP.height / side);
  const [left, top] = [(CLIP.width - side * scale) >> 1, (CLIP.height - side * scale) >> 1];
  for (let y = 0; y < side * scale; y += 1) {
    for (let x = 0; x < side * scale; x += 1) {
      if (dark[Math.floor(y / scale) * side + Math.floor(x / scale)]) luma[(top + y) * CLIP.width + left + x] = INK;
    }
  }
  return luma;
}

/** Writes a clip that shows each code for `picturesEach` pictures of the camera. */
export function writeCodeClip(path: string, codes: readonly CodePicture[], picturesEach = 4): void {
  const file = openSync(path, 'w');
  writeSync(file, `YUV4MPEG2 W${CLIP.width} H${CLIP.height} F${CLIP.fps}:1 Ip A1:1 C420jpeg\n`);
  const grey = new Uint8Array((CLIP.width * CLIP.height) / 2).fill(128);
  for (const code of codes) {
    const luma = lumaOf(code);
    for (let i = 0; i < picturesEach; i += 1) {
      writeSync(file, 'FRAME\n');
      writeSync(file, luma);
      writeSync(file, grey);
    }
  }
  closeSync(file);
}

/** The texts of frames as codes, in the order in which they are shown. */
export function codesOf(texts: readonly string[], qrVersion: number): CodePicture[] {
  return texts.map((text, n) => codePicture(text, n, qrVersion));
}

/** Chromium whose camera shows a clip over and over. `end` closes it. */
export async function browserThatSees(clip: string): Promise<Browser> {
  const executablePath = chromiumPath();
  return chromium.launch({
    ...(executablePath === undefined ? {} : { executablePath }),
    args: [...FLAGS, '--use-fake-device-for-media-stream', `--use-file-for-fake-video-capture=${clip}`],
  });
}

/** Does `work` with Chromium whose camera sees these codes, and tidies up. */
export async function seeingCodes(
  codes: readonly CodePicture[],
  work: (browser: Browser) => Promise<void>,
  picturesEach?: number,
): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'kerbside-camera-'));
  const clip = join(folder, 'clip.y4m');
  writeCodeClip(clip, codes, picturesEach);
  const browser = await browserThatSees(clip);
  try {
    await work(browser);
  } finally {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  }
}
