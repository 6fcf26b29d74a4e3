// Keeps the page in the browser: what it once loaded opens without a network. Whoever
// writes the site puts before this the files that belong to it, and their version.
/* global version, files */
const mine = `counterpoise ${self.registration.scope} `, current = mine + version;

self.addEventListener('install', (event) => event.waitUntil((async () => {
  await (await caches.open(current)).addAll(files.map((f) => new Request(f, {cache: 'no-cache'})));
  await self.skipWaiting();
})()));

self.addEventListener('activate', (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith(mine) && name !== current) await caches.delete(name);
  await self.clients.claim();
})()));

// What is kept is given from here; else, such as evidence, it is fetched and kept.
self.addEventListener('fetch', (event) => {
  if (event.request.method !== 'GET' || !event.request.url.startsWith(self.registration.scope)) return;
  event.respondWith((async () => {
    const kept = await caches.open(current), here = await kept.match(event.request, {ignoreSearch: true});
    if (here) return here;
    const fresh = await fetch(event.request);
    if (fresh.ok) await kept.put(event.request, fresh.clone());
    return fresh;
  })());
});
