import process from 'node:process';
import { succeeded } from '$lib/records/attempt.ts';
import { hubAddresses, type Listening } from '$lib/server/addresses.ts';
import { answer, endpoint } from '$lib/server/endpoint.ts';

export const GET = endpoint(({ event }) => {
  const told = process.env['KERBSIDE_LISTENS'];
  const listening = told ? (JSON.parse(told) as Listening) : asAsked(event.url);
  return Promise.resolve(succeeded(answer(hubAddresses(listening))));
});

/** Under the development server nobody says where it listens: the request's own address will do. */
function asAsked(url: URL): Listening {
  const secure = url.protocol === 'https:';
  const port = Number(url.port) || (secure ? 443 : 80);
  return { host: url.hostname, http: secure ? null : port, https: secure ? port : null, ownAuthority: false };
}
