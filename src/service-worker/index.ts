import { build, files, version } from '$service-worker';

const worker = globalThis as unknown as ServiceWorkerGlobalScope;

/** One cache for each build: a page only ever gets parts that belong together. */
const CACHE = `kerbside-${version}`;
const SHELL = '/';
const KEPT = new Set([...build, ...files]);

worker.addEventListener('install', (event) => {
  // A new build waits until every tab of the old one is closed: nothing changes under an observer's finger.
  event.waitUntil(keepAll());
});

async function keepAll(): Promise<void> {
  const cache = await caches.open(CACHE);
  // Past the browser's own cache, which may still hold the shell of the build before.
  await cache.addAll([SHELL, ...KEPT].map((path) => new Request(path, { cache: 'reload' })));
}

worker.addEventListener('activate', (event) => {
  event.waitUntil(startServing());
});

async function startServing(): Promise<void> {
  const names = await caches.keys();
  await Promise.all(
    names.filter((name) => name.startsWith('kerbside-') && name !== CACHE).map((n) => caches.delete(n)),
  );
  // The first visit is served from the next click on, without a reload.
  await worker.clients.claim();
}

worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== worker.location.origin) return;
  // The hub's answers are never kept: an old one would pass for a new one.
  if (url.pathname.startsWith('/api/')) return;
  if (request.mode === 'navigate') event.respondWith(fromCache(SHELL, request));
  else if (KEPT.has(url.pathname)) event.respondWith(fromCache(url.pathname, request));
});

/** The kept answer; from the network only when the browser has thrown it away. */
async function fromCache(path: string, request: Request): Promise<Response> {
  const cache = await caches.open(CACHE);
  return (await cache.match(path)) ?? fetch(request);
}
