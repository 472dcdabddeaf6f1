import { succeeded } from '$lib/records/outcome.ts';
import { raceEndpoint } from '$lib/server/endpoint.ts';
import { revokeToken } from '$lib/server/join/tokens.ts';

export const DELETE = raceEndpoint(['organiser'], async ({ hub, caller, event }) => {
  const revoked = await revokeToken(hub, caller, event.params['key'] ?? '');
  return revoked.ok ? succeeded(new Response(null, { status: 204 })) : revoked;
});
