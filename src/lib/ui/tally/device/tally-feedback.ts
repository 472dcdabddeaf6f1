let audio: AudioContext | undefined;

/** What a thumb feels and an ear hears when a record is durable. The eye gets its part from the screen. */
export function tallyFeedback({ vibrate, click }: { vibrate: boolean; click: boolean }): void {
  if (vibrate) (navigator as Partial<Navigator>).vibrate?.(25);
  if (!click || !('AudioContext' in window)) return;
  audio ??= new AudioContext();
  const tone = audio.createOscillator();
  const volume = audio.createGain();
  tone.frequency.value = 1400;
  volume.gain.setValueAtTime(0.2, audio.currentTime);
  volume.gain.exponentialRampToValueAtTime(0.001, audio.currentTime + 0.03);
  tone.connect(volume).connect(audio.destination);
  tone.start();
  tone.stop(audio.currentTime + 0.03);
}
