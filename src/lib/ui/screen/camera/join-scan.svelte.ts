import { readFrame } from '../../../screen/frame.ts';
import { readJoinLink, type JoinLink } from '../../../screen/join-link.ts';
import { cameraFailureWords, openCamera } from './camera.ts';
import { CodeReader } from './code-reader.ts';
import { VideoPictures } from './video-pictures.ts';

/** Scanning the code that the lead shows for joining, with this device's camera. */
export class JoinScan {
  #phase = $state<'idle' | 'asking' | 'scanning'>('idle');
  #stream = $state.raw<MediaStream | null>(null);
  #problem = $state('');
  #elsewhere = $state.raw<JoinLink | null>(null);
  #reader: CodeReader | null = null;
  #turn = 0;
  readonly #origin: string;
  readonly #onCode: (code: string) => void;

  /**
   * @param origin the address of the hub that served this page
   * @param onCode called with a join code of this hub
   */
  constructor(origin: string, onCode: (code: string) => void) {
    this.#origin = origin;
    this.#onCode = onCode;
  }

  get phase() {
    return this.#phase;
  }
  get stream() {
    return this.#stream;
  }
  get problem() {
    return this.#problem;
  }
  /** A code of another hub: a tablet hands in to the hub that served it, so that its page has to be opened. */
  get elsewhere() {
    return this.#elsewhere;
  }

  async start(): Promise<void> {
    if (this.#phase !== 'idle') return;
    this.stop();
    this.#phase = 'asking';
    const turn = this.#turn;
    const camera = await openCamera();
    if (turn !== this.#turn) {
      if (camera.ok) camera.value.getTracks().forEach((track) => track.stop());
      return;
    }
    if (!camera.ok) {
      this.#stopWith(cameraFailureWords(camera.error));
      return;
    }
    this.#stream = camera.value;
    for (const track of camera.value.getVideoTracks())
      track.onended = () => this.#stopWith('The camera was disconnected.');
    this.#phase = 'scanning';
  }

  /** Looks for a join code in what this element shows of `stream`. */
  async watch(video: HTMLVideoElement): Promise<void> {
    const turn = this.#turn;
    try {
      const reader = (this.#reader = new CodeReader());
      const pictures = new VideoPictures(video);
      while (turn === this.#turn) {
        await pictures.next();
        if (turn !== this.#turn || video.readyState < HTMLMediaElement.HAVE_CURRENT_DATA) continue;
        const text = await reader.read(video, 'square');
        if (turn === this.#turn && text !== null) this.#hear(text);
      }
      pictures.stop();
    } catch (error) {
      if (turn === this.#turn) this.#stopWith(`Reading the code failed: ${(error as Error).message}`);
    }
  }

  #hear(text: string): void {
    const link = readJoinLink(text);
    if (link) {
      this.stop();
      if (link.origin === this.#origin) this.#onCode(link.code);
      else this.#elsewhere = link;
      return;
    }
    this.#problem =
      readFrame(text) === null
        ? 'This code is not for joining. The lead’s Hand-off screen shows the right one.'
        : 'These are running codes of a hand-off: film them with the button further down.';
  }

  stop(): void {
    this.#stopWith('');
  }

  #stopWith(problem: string): void {
    this.#turn += 1;
    this.#reader?.stop();
    this.#reader = null;
    for (const track of this.#stream?.getTracks() ?? []) {
      track.onended = null;
      track.stop();
    }
    this.#stream = null;
    this.#phase = 'idle';
    this.#elsewhere = null;
    this.#problem = problem;
  }
}
