import { succeeded } from '$lib/records/attempt.ts';
import { joinSchema } from '$lib/wire/wire.ts';
import { bearer } from '$lib/server/join/caller.ts';
import { answer, endpoint, readJson } from '$lib/server/endpoint.ts';
import { join } from '$lib/server/join/join.ts';

export const POST = endpoint(async ({ hub, event }) => {
  const message = await readJson(event.request, joinSchema);
  if (!message.ok) return message;
  const shown = bearer(event.request);
  const joined = await join(hub, { message: message.value, shown, address: event.getClientAddress() });
  if (!joined.ok) return joined;
  const { race, role } = joined.value;
  hub.security.done('joined', race.id, message.value.device, `as ${role}`);
  return succeeded(answer(joined.value, 201));
});
