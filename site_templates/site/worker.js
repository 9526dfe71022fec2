// VERSION and FILES stand above. Network first: what is kept only answers when the network does not, or not soon.

const KEPT = `kitdocs ${self.registration.scope} `;
const PAGE_PATIENCE = 1000; // milliseconds until a kept page is shown; its verdict says that it was not checked
const HUNG = 30 * 1000; // so long after a page had to be shown so, the next ones wait only this long:
const AGAIN_PATIENCE = 200; // a round of seven chairs does not wait seven times
const PART_PATIENCE = 5000; // for what a page from the network loads: better late than of another edition
const AT_ONCE = 3; // files asked for side by side: who opens the next page meanwhile does not wait behind all of them
const ASKED_AFRESH = ["editions.json", "version.json"]; // never kept: a page must not vouch for a card, or for the site, from memory
let hung = -Infinity; // when the network last let a page wait in vain
const ofKeptPages = new Set(); // a kept page gets all that it loads from the same keeping, at once

self.addEventListener("install", (event) => {
  event.waitUntil(keepAll().then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(dropOthers().then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  const ours = event.request.method === "GET" && url.href.startsWith(self.registration.scope);
  if (ours && !ASKED_AFRESH.some((name) => url.pathname.endsWith(`/${name}`))) event.respondWith(answer(event));
});

async function keepAll() {
  const cache = await caches.open(KEPT + VERSION);
  const left = [...FILES];
  await Promise.all(Array.from({ length: AT_ONCE }, async () => {
    while (left.length) await keep(cache, left.shift());
  }));
}

async function keep(cache, path) {
  const url = new URL(path, self.registration.scope);
  const response = await fetch(url, { cache: "no-cache", priority: "low" });
  if (!response.ok) throw new Error(`${path}: ${response.status}`);
  await cache.put(url, await unredirected(response));
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

async function answer(event) {
  const { request } = event;
  const stop = new AbortController();
  const ask = () => fetch(request, { cache: "no-cache", signal: stop.signal });
  if (ofKeptPages.has(event.clientId)) return (await fromKept(request.url)) || ask();
  const isPage = request.mode === "navigate";
  const network = ask();
  const patience = !isPage ? PART_PATIENCE : Date.now() - hung < HUNG ? AGAIN_PATIENCE : PAGE_PATIENCE;
  const soon = await Promise.race([network, after(patience)]).catch(() => undefined);
  if (soon) {
    if (isPage) hung = -Infinity;
    return soon;
  }
  const kept = await fromKept(request.url);
  if (!kept) return network;
  stop.abort();
  if (isPage) {
    hung = Date.now();
    ofKeptPages.add(event.resultingClientId);
  }
  return kept;
}

function after(milliseconds) {
  return new Promise((resolve) => { setTimeout(resolve, milliseconds); });
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
