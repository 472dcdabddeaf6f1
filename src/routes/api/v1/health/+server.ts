import { sql } from 'kysely';
import { succeeded } from '$lib/records/outcome.ts';
import type { Health } from '$lib/wire/wire.ts';
import { answer, endpoint } from '$lib/server/endpoint.ts';
import { version } from '../../../../../package.json';

export const GET = endpoint(async ({ hub }) => {
  await sql`select 1`.execute(hub.db);
  return succeeded(answer({ status: 'ok', store: hub.adapter.name, version } satisfies Health));
});
