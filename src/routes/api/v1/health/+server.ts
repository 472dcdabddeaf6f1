import { sql } from 'kysely';
import { succeeded } from '$lib/records/attempt.ts';
import type { Health } from '$lib/wire/wire.ts';
import { answer, endpoint } from '$lib/server/endpoint.ts';
import { canStore } from '$lib/server/database/can-store.ts';
import { version } from '../../../../../package.json';

export const GET = endpoint(async ({ hub }) => {
  await sql`select 1`.execute(hub.db);
  const health: Health = { status: 'ok', store: hub.adapter.name, version };
  return succeeded(answer((await canStore(hub.adapter)) ? health : { ...health, storing: false }));
});
