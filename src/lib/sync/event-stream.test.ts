import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { streamEvents, type StreamEvent } from './event-stream.ts';

async function read(text: string, cuts: readonly number[] = []): Promise<StreamEvent[]> {
  const bytes = new TextEncoder().encode(text);
  const ends = [...cuts.map((cut) => cut % (bytes.length + 1)), bytes.length].sort((a, b) => a - b);
  const stream = new ReadableStream<Uint8Array>({
    start(controller) {
      let from = 0;
      for (const end of ends) {
        if (end > from) controller.enqueue(bytes.slice(from, end));
        from = Math.max(from, end);
      }
      controller.close();
    },
  });
  const events: StreamEvent[] = [];
  for await (const event of streamEvents(stream)) events.push(event);
  return events;
}

const TEXT =
  ': still here\n\nevent: records\ndata: {"cursor":"ä1"}\n\ndata:two\r\ndata: lines\r\n\r\nid: 4\nretry: 9\nevent: lost\n\ndata\n\ndata: unfinished';
const EVENTS = [
  { event: 'records', data: '{"cursor":"ä1"}' },
  { event: 'message', data: 'two\nlines' },
  { event: 'message', data: '' },
];

describe('streamEvents', () => {
  it('reads events as the HTML standard, "Interpreting an event stream", defines them', async () => {
    expect(await read(TEXT)).toEqual(EVENTS);
  });

  it('reads the same however the bytes are cut', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.nat(200), { maxLength: 12 }), async (cuts) => {
        expect(await read(TEXT, cuts)).toEqual(EVENTS);
      }),
    );
  });

  it('ends quietly when the connection breaks', async () => {
    const broken = new ReadableStream<Uint8Array>({
      start(controller) {
        controller.error(new TypeError('network error'));
      },
    });
    const events: StreamEvent[] = [];
    for await (const event of streamEvents(broken)) events.push(event);
    expect(events).toEqual([]);
  });
});
