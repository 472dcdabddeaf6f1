import { succeeded } from '$lib/records/attempt.ts';
import { raceEndpoint } from '$lib/server/endpoint.ts';
import { revokeToken } from '$lib/server/join/tokens.ts';

export const DELETE = raceEndpoint(['organiser'], async ({ hub, caller, event }) => {
  const key = event.params['key'] ?? '';
  const revoked = await revokeToken(hub, caller, key);
  if (revoked.ok)
    hub.security.done('token-revoked', caller.raceId, caller.device, `of ${JSON.stringify(revoked.value)}`);
  return revoked.ok ? succeeded(new Response(null, { status: 204 })) : revoked;
});
