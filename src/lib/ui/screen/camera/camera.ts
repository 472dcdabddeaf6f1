import { failed, succeeded, type Attempt } from '../../../records/attempt.ts';

/** Why no camera gives pictures. `no-access`: this page may not ask, as on plain http. */
export interface CameraFailure {
  readonly type: 'no-access' | 'refused' | 'none' | 'busy';
}

const WANTED: MediaTrackConstraints = {
  facingMode: { ideal: 'environment' },
  width: { ideal: 1280 },
  height: { ideal: 720 },
  frameRate: { ideal: 30 },
};

const FAILURES: Readonly<Record<string, CameraFailure['type']>> = {
  NotAllowedError: 'refused',
  SecurityError: 'refused',
  NotFoundError: 'none',
  OverconstrainedError: 'none',
};

/** Whether this page may ask for the camera at all. */
export function cameraAllowed(): boolean {
  return window.isSecureContext && 'mediaDevices' in navigator;
}

/** Asks for the rear camera. */
export async function openCamera(): Promise<Attempt<MediaStream, CameraFailure>> {
  if (!cameraAllowed()) return failed({ type: 'no-access' });
  try {
    return succeeded(await navigator.mediaDevices.getUserMedia({ video: WANTED, audio: false }));
  } catch (error) {
    return failed({ type: FAILURES[(error as Error).name] ?? 'busy' });
  }
}

/** The failure in words, with what to do instead. */
export function cameraFailureWords({ type }: CameraFailure): string {
  switch (type) {
    case 'no-access':
      return 'This page came over plain http, and there browsers give no camera.';
    case 'refused':
      return 'The camera was refused. Allow it for this page in the browser’s settings and try again.';
    case 'none':
      return 'This device has no camera that the browser knows of.';
    case 'busy':
      return 'The camera gives no picture: another app may be using it. Close it and try again.';
  }
}
