/** Why a file cannot be reviewed. Nothing of it is kept then. */
export type ClipFault =
  | { readonly type: 'not-video' }
  | { readonly type: 'no-picture' }
  | { readonly type: 'cut-off' }
  | { readonly type: 'edited' }
  | { readonly type: 'too-large'; readonly bytes: number }
  | { readonly type: 'too-many-frames'; readonly frames: number }
  | { readonly type: 'too-few-frames'; readonly frames: number }
  | { readonly type: 'wrong-size'; readonly width: number; readonly height: number }
  | { readonly type: 'wrong-rate'; readonly fps: number }
  | { readonly type: 'not-decodable'; readonly codec: string; readonly frames: number; readonly seconds: number }
  | { readonly type: 'stopped' }
  | { readonly type: 'unreadable'; readonly message: string };

export const CLIP_LIMITS = { bytes: 8 * 2 ** 30, frames: 1_000_000, leastSide: 16, mostSide: 8192 } as const;

const CODEC_NAMES: readonly (readonly [start: RegExp, name: string])[] = [
  [/^(hvc1|hev1)/, 'HEVC (H.265)'],
  [/^avc/, 'H.264'],
  [/^vp09/, 'VP9'],
  [/^vp8/, 'VP8'],
  [/^av01/, 'AV1'],
  [/^ap|^prores/i, 'ProRes'],
];

/** A codec's parameter string in words: `HEVC (H.265)`. */
export function codecName(codec: string): string {
  return CODEC_NAMES.find(([start]) => start.test(codec))?.[1] ?? codec;
}

/** How a clip is made readable without losing a frame or its times. */
export const CONVERT_COMMAND = 'ffmpeg -i IN -map 0:v:0 -c:v libx264 -crf 16 -g 30 -fps_mode passthrough -an OUT.mp4';

/** What to tell the person who chose the file. */
export function clipFaultWords(fault: ClipFault): string {
  switch (fault.type) {
    case 'not-video':
      return 'This is not a video file that can be read here: expected MP4, MOV or WebM.';
    case 'no-picture':
      return 'The file has sound only: there is no picture in it.';
    case 'cut-off':
      return 'The end of the file is missing. Copy the whole file; nothing of this one is kept.';
    case 'edited':
      return 'This clip was edited on the phone. Export the original: cuts and changes of speed make its times wrong.';
    case 'too-large':
      return 'The file is larger than 8 GiB. Cut it into parts on the camera.';
    case 'too-many-frames':
      return `The clip has ${fault.frames} frames; at most 1,000,000 can be reviewed.`;
    case 'too-few-frames':
      return 'The clip has fewer than 2 frames.';
    case 'wrong-size':
      return `The picture is ${fault.width} × ${fault.height} pixels; expected 16 to 8192 each way.`;
    case 'wrong-rate':
      return `The clip has ${fault.fps.toFixed(3)} frames a second of its own time, which no camera writes.`;
    case 'not-decodable':
      return `This browser cannot show ${codecName(fault.codec)}. Its ${fault.frames} frames and their times were read (${fault.seconds.toFixed(1)} s), so the file is whole. Another browser of this device may show it (Safari shows HEVC). Or set the phone to “most compatible”, or convert it: ${CONVERT_COMMAND}`;
    case 'stopped':
      return 'Stopped; nothing of the file is kept.';
    case 'unreadable':
      return `The file cannot be read: ${fault.message}`;
  }
}
