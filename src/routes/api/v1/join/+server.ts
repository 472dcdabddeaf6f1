import { succeeded } from '$lib/domain/outcome.ts';
import { joinSchema } from '$lib/domain/wire.ts';
import { bearer } from '$lib/server/caller.ts';
import { answer, endpoint, readJson } from '$lib/server/endpoint.ts';
import { join } from '$lib/server/join.ts';

export const POST = endpoint(async ({ hub, event }) => {
  const message = await readJson(event.request, joinSchema);
  if (!message.ok) return message;
  const shown = bearer(event.request);
  const joined = await join(hub, { message: message.value, shown, address: event.getClientAddress() });
  return joined.ok ? succeeded(answer(joined.value, 201)) : joined;
});
