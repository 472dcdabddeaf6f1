import { succeeded } from '$lib/records/attempt.ts';
import { shutOutSchema } from '$lib/wire/wire.ts';
import { answer, raceEndpoint, readJson } from '$lib/server/endpoint.ts';
import { listTokens, revokeSince } from '$lib/server/join/tokens.ts';

export const GET = raceEndpoint(['organiser'], async ({ hub, caller }) =>
  succeeded(answer(await listTokens(hub, caller))),
);

export const DELETE = raceEndpoint(['organiser'], async ({ hub, caller, event }) => {
  const wish = await readJson(event.request, shutOutSchema);
  if (!wish.ok) return wish;
  const devices = await revokeSince(hub, caller, wish.value.joinedSince);
  hub.security.done('tokens-revoked', caller.raceId, caller.device, `of ${devices} devices`);
  return succeeded(answer({ devices }));
});
