/**
 * An expected failure is a value, not an exception: `ok` tells which. The error names its kind in `type` and carries
 * the facts a message needs. Only a programmer's mistake throws.
 */
export type Attempt<Value, Failure extends { readonly type: string }> =
  { readonly ok: true; readonly value: Value } | { readonly ok: false; readonly error: Failure };

export function succeeded<Value>(value: Value): { readonly ok: true; readonly value: Value } {
  return { ok: true, value };
}

export function failed<Failure extends { readonly type: string }>(
  error: Failure,
): { readonly ok: false; readonly error: Failure } {
  return { ok: false, error };
}
