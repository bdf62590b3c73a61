// Keeps the sheet, the scripts and the two entry pages at hand for a green without signal.
const SHELF = "carrybook-1";
const ALWAYS = ["/static/book.css", "/static/book.js", "/static/icon.svg", "/static/book.webmanifest"];
const ENTRY_PAGE = /^\/players\/[a-z0-9]+\/(marks|test)$/;

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(SHELF).then((shelf) => shelf.addAll(ALWAYS)));
  self.skipWaiting();
});

self.addEventListener("activate", (event) => {
  const old = caches.keys().then((names) => names.filter((name) => name !== SHELF));
  event.waitUntil(old.then((names) => Promise.all(names.map((name) => caches.delete(name)))));
  self.clients.claim();
});

async function networkFirst(request) {
  const shelf = await caches.open(SHELF);
  try {
    const answer = await fetch(request);
    if (answer.ok && !answer.redirected) await shelf.put(request, answer.clone());
    return answer;
  } catch (error) {
    const kept = await shelf.match(request, { ignoreSearch: true });
    if (kept) return kept;
    throw error;
  }
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const path = new URL(request.url).pathname;
  if (request.method !== "GET") return;
  if (ALWAYS.includes(path) || ENTRY_PAGE.test(path)) event.respondWith(networkFirst(request));
});
