import { succeeded } from '$lib/records/attempt.ts';
import { MAX_LIST_BYTES, resultsSchema } from '$lib/wire/wire.ts';
import { answer, answerText, raceEndpoint, readJson } from '$lib/server/endpoint.ts';
import { readList, saveList } from '$lib/server/lists/lists.ts';

export const GET = raceEndpoint(['organiser', 'analyst'], async ({ hub, caller }) =>
  succeeded(answerText(await readList(hub, caller, 'results'))),
);

export const PUT = raceEndpoint(['organiser'], async ({ hub, caller, event }) => {
  const list = await readJson(event.request, resultsSchema, MAX_LIST_BYTES);
  if (!list.ok) return list;
  const saved = await saveList(hub, caller, 'results', list.value);
  return saved.ok ? succeeded(answer(saved.value)) : saved;
});
