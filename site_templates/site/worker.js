// VERSION and FILES stand above. Network first: what is kept only answers when the network does not.

const KEPT = `kitdocs ${self.registration.scope} `;
const PATIENCE = 5000; // milliseconds until a slow network counts as none
const ASKED_AFRESH = "editions.json"; // never kept: a page must not vouch for a card from memory

self.addEventListener("install", (event) => {
  event.waitUntil(keepAll().then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(dropOthers().then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  const ours = event.request.method === "GET" && url.href.startsWith(self.registration.scope);
  if (ours && !url.pathname.endsWith(`/${ASKED_AFRESH}`)) event.respondWith(networkFirst(event.request));
});

async function keepAll() {
  const cache = await caches.open(KEPT + VERSION);
  await Promise.all(FILES.map(async (path) => {
    const url = new URL(path, self.registration.scope);
    const response = await fetch(url, { cache: "no-cache" });
    if (!response.ok) throw new Error(`${path}: ${response.status}`);
    await cache.put(url, await unredirected(response));
  }));
}

// A host may send r/teal.html on to r/teal; a browser refuses such an answer for a page when it comes from a cache.
async function unredirected(response) {
  if (!response.redirected) return response;
  return new Response(await response.blob(), { status: response.status, headers: response.headers });
}

async function dropOthers() {
  for (const name of await caches.keys()) {
    if (name.startsWith(KEPT) && name !== KEPT + VERSION) await caches.delete(name);
  }
}

async function networkFirst(request) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), PATIENCE);
  try {
    return await fetch(request, { cache: "no-cache", signal: stop.signal });
  } catch (failure) {
    const kept = await fromKept(request.url);
    if (kept) return kept;
    throw failure;
  } finally {
    clearTimeout(timer);
  }
}

async function fromKept(address) {
  const url = new URL(address);
  url.hash = url.search = "";
  const cache = await caches.open(KEPT + VERSION);
  const names = url.pathname.endsWith("/") ? [`${url}index.html`] : [url.href, `${url}.html`, `${url}/index.html`];
  for (const name of names) {
    const kept = await cache.match(name);
    if (kept) return kept;
  }
  return undefined;
}
