/** Why the hub does not start: its message says what was found and what to do. The entry tells it without a stack trace. */
export class StartFault extends Error {
  // The entry is built apart from the hub: it knows this fault by its name alone.
  override readonly name = 'StartFault';
}
