import { Agent, createServer, type IncomingMessage, request as httpRequest, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { setTimeout as sleep } from 'node:timers/promises';

/** How bad the network is: chances from 0 to 1. */
export interface Losses {
  /** The request never reaches the hub. */
  readonly dropRequest: number;
  /** The hub acts, its answer is lost. */
  readonly dropAnswer: number;
  /** The request arrives a second time, up to four longest delays later: behind requests made after it. */
  readonly twice: number;
  /** The answer is held back until a later one has gone out, or for four longest delays. */
  readonly hold: number;
  /** Either way takes from 0 to this long. */
  readonly longestDelayMs: number;
}

export const NO_LOSSES: Losses = { dropRequest: 0, dropAnswer: 0, twice: 0, hold: 0, longestDelayMs: 0 };

interface Upstream {
  readonly status: number;
  readonly headers: IncomingMessage['headers'];
  readonly body: Buffer;
}

/** An HTTP proxy before the hub at `hubUrl` that loses, delays, doubles and reorders as `random` draws. */
export class LossyProxy {
  losses: Losses = NO_LOSSES;
  /** How often each mishap has happened. */
  readonly counts = { requests: 0, droppedRequests: 0, droppedAnswers: 0, sentTwice: 0, overtaken: 0 };
  readonly #hubUrl: string;
  readonly #random: () => number;
  readonly #agent = new Agent({ keepAlive: true });
  readonly #server = createServer((request, response) => {
    this.#pass(request, response).catch(() => response.destroy());
  });
  /** Numbers of the requests that reached the hub and whose answers have not gone out. */
  readonly #open = new Set<number>();
  readonly #doubles = new Set<Promise<unknown>>();
  #release: (() => void)[] = [];

  constructor(hubUrl: string, random: () => number) {
    this.#hubUrl = hubUrl;
    this.#random = random;
  }

  /** Resolves with the proxy's own address. */
  async listen(): Promise<string> {
    await new Promise<void>((resolve) => this.#server.listen(0, '127.0.0.1', resolve));
    return `http://127.0.0.1:${(this.#server.address() as AddressInfo).port}`;
  }

  /** Resolves once every request that was sent a second time has been answered. */
  async settled(): Promise<void> {
    while (this.#doubles.size > 0) await Promise.all(this.#doubles);
  }

  async close(): Promise<void> {
    const closed = new Promise((resolve) => this.#server.close(resolve));
    this.#server.closeAllConnections();
    this.#agent.destroy();
    await closed;
  }

  async #pass(request: IncomingMessage, response: ServerResponse): Promise<void> {
    this.counts.requests += 1;
    const number = this.counts.requests;
    const { dropRequest, dropAnswer, twice, hold, longestDelayMs } = this.losses;
    // All draws of a request are made at once, whatever becomes of it.
    const draw = Array.from({ length: 7 }, this.#random) as [number, number, number, number, number, number, number];
    const body = await bodyOf(request);
    await sleep(draw[4] * longestDelayMs);
    if (draw[0] < dropRequest) {
      this.counts.droppedRequests += 1;
      response.destroy();
      return;
    }
    if (request.headers.accept === 'text/event-stream') return this.#passStream(request, response);
    this.#open.add(number);
    try {
      if (draw[2] < twice) this.#again(request, body, draw[5] * 4 * longestDelayMs);
      const answer = await this.#ask(request, body);
      await sleep(draw[6] * longestDelayMs);
      if (draw[3] < hold) await this.#heldBack(4 * longestDelayMs);
      if (draw[1] < dropAnswer) {
        this.counts.droppedAnswers += 1;
        response.destroy();
        return;
      }
      if ([...this.#open].some((other) => other < number)) this.counts.overtaken += 1;
      response.writeHead(answer.status, withoutHop(answer.headers)).end(answer.body);
    } finally {
      this.#open.delete(number);
    }
    const waiting = this.#release;
    this.#release = [];
    for (const release of waiting) release();
  }

  #again(request: IncomingMessage, body: Buffer, afterMs: number): void {
    this.counts.sentTwice += 1;
    const double = sleep(afterMs)
      .then(() => this.#ask(request, body))
      .catch(() => undefined)
      .finally(() => this.#doubles.delete(double));
    this.#doubles.add(double);
  }

  #heldBack(atMostMs: number): Promise<unknown> {
    const released = new Promise<void>((resolve) => this.#release.push(resolve));
    return Promise.race([released, sleep(atMostMs)]);
  }

  #send(request: IncomingMessage, body: Buffer | undefined, then: (answer: IncomingMessage) => void) {
    const { method = 'GET', url = '/' } = request;
    const headers = { ...withoutHop(request.headers), ...(body?.length ? { 'content-length': body.length } : {}) };
    const sent = httpRequest(new URL(url, this.#hubUrl), { method, headers, agent: this.#agent }, then);
    sent.end(body);
    return sent;
  }

  #ask(request: IncomingMessage, body: Buffer): Promise<Upstream> {
    return new Promise((resolve, reject) => {
      const sent = this.#send(request, body, (answer) => {
        bodyOf(answer).then(
          (bytes) => resolve({ status: answer.statusCode ?? 502, headers: answer.headers, body: bytes }),
          reject,
        );
      });
      sent.on('error', reject);
    });
  }

  /** Events flow as they come: they are lost only with their stream. */
  #passStream(request: IncomingMessage, response: ServerResponse): void {
    const sent = this.#send(request, undefined, (answer) => {
      response.writeHead(answer.statusCode ?? 502, withoutHop(answer.headers));
      answer.on('error', () => response.destroy());
      answer.pipe(response);
    });
    sent.on('error', () => response.destroy());
    response.on('close', () => sent.destroy());
  }
}

async function bodyOf(message: IncomingMessage): Promise<Buffer> {
  const chunks: Buffer[] = [];
  for await (const chunk of message) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks);
}

const OF_ONE_CONNECTION = ['connection', 'keep-alive', 'transfer-encoding', 'content-length', 'host'];

/** Headers without those that concern one connection alone. */
function withoutHop(headers: IncomingMessage['headers']): IncomingMessage['headers'] {
  return Object.fromEntries(Object.entries(headers).filter(([name]) => !OF_ONE_CONNECTION.includes(name)));
}
