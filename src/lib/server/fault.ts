import { failed } from '../records/attempt.ts';
import type { ErrorCode } from '../wire/wire-error.ts';

/** Why a call was not carried out, in the hub's own form; `type` becomes `error.code`. */
export interface Fault {
  readonly type: ErrorCode;
  readonly message: string;
  readonly retryAfterS?: number;
}

export function fault(type: ErrorCode, message: string) {
  return failed<Fault>({ type, message });
}

/** More than any race needs: the caller is to wait. */
export function slowDown(message: string, retryAfterS = 2) {
  return failed<Fault>({ type: 'slow-down', message, retryAfterS });
}
