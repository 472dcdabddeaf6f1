import process from 'node:process';
import type { Handle, ServerInit } from '@sveltejs/kit';
import { building } from '$app/environment';
import { HUB_CLOCK_HEADER } from '$lib/wire/wire.ts';
import { answerFault, readRest } from '$lib/server/endpoint.ts';
import { type Hub, openHub } from '$lib/server/hub.ts';
import { givenCodesDays } from '$lib/server/join/join-code.ts';
import { givenOrganiserKey, keptOrganiserKey } from '$lib/server/join/organiser-key.ts';
import { isForeign, SECURITY_HEADERS } from '$lib/server/security-headers.ts';
import { closeStreams } from '$lib/server/pull/stream.ts';

let hub: Hub;

export const init: ServerInit = async () => {
  if (building) return;
  const dataFolder = process.env['KERBSIDE_DATA'] || 'data';
  // All that can be wrong with what was given is said before anything is made.
  const given = givenOrganiserKey(process.env['KERBSIDE_ORGANISER_KEY']);
  const opened = await openHub({
    dataFolder,
    databaseUrl: process.env['DATABASE_URL'] || undefined,
    organiserKey: given ?? '',
    codesDays: givenCodesDays(process.env['KERBSIDE_CODES_DAYS']),
    now: Date.now,
    anew: process.env['KERBSIDE_NEW'] === '1',
  });
  // Not before the store is there: a key beside no store is the trace of one that was lost.
  const { key, madeIn } = given === undefined ? keptOrganiserKey(dataFolder) : { key: given };
  if (madeIn) console.log(`Organiser key, shown this once and kept in ${madeIn}:\n\n    ${key}\n`);
  hub = { ...opened, organiserKey: key };
  // The server's entry says the first when it is told to stop and the second when the last connection has ended.
  const entry = process as NodeJS.EventEmitter;
  entry.on('kerbside:stopping', closeStreams);
  entry.on('sveltekit:shutdown', () => {
    hub.adapter.close().catch((error: unknown) => console.error(error));
  });
};

export const handle: Handle = async ({ event, resolve }) => {
  event.locals.hub = hub;
  const response = event.url.pathname.startsWith('/api/') ? await apiAnswer(event, resolve) : await resolve(event);
  for (const [name, value] of Object.entries(SECURITY_HEADERS)) response.headers.set(name, value);
  if (await readRest(event.request)) response.headers.set('connection', 'close');
  response.headers.set(HUB_CLOCK_HEADER, String(Date.now()));
  return response;
};

const apiAnswer = async (
  event: Parameters<Handle>[0]['event'],
  resolve: Parameters<Handle>[0]['resolve'],
): Promise<Response> => {
  if (isForeign(event.request.headers)) {
    hub.security.refused('foreign-origin', `${event.request.method} ${event.route.id ?? ''}`, event.getClientAddress());
    return answerFault({
      type: 'foreign-origin',
      message: 'This hub answers its own pages alone. To reach another hub, use a hand-off file.',
    });
  }
  if (event.route.id === null) return answerFault({ type: 'not-found', message: 'This hub has no such call.' });
  const response = await resolve(event);
  if (response.status !== 405) return response;
  const refusal = answerFault({ type: 'wrong-method', message: `${event.request.method} is not for this call.` });
  refusal.headers.set('allow', response.headers.get('allow') ?? '');
  return refusal;
};
