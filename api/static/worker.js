// Keeps the sheet, the scripts and the two entry pages at hand for a green without signal.
const SHELF = "carrybook-2";
const ALWAYS = ["book.css", "book.js", "after_load.js", "icon.svg", "book.webmanifest"].map((name) => `/static/${name}`);
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

// A page as it stands now; without signal as it stood last, this address before the like of it.
async function networkFirst(request) {
  const shelf = await caches.open(SHELF);
  try {
    const answer = await fetch(request);
    if (answer.ok && !answer.redirected) await shelf.put(request, answer.clone());
    return answer;
  } catch (error) {
    const kept = await shelf.match(request) ?? await shelf.match(request, { ignoreSearch: true });
    if (kept) return kept;
    throw error;
  }
}

// A file whose address names its content needs no network twice; what it replaces goes.
async function keptFirst(request) {
  const shelf = await caches.open(SHELF);
  const kept = await shelf.match(request);
  if (kept) return kept;
  const answer = await networkFirst(request);
  if (!(await shelf.match(request))) return answer; // it did not come: the file before it stays
  const like = await shelf.keys(request, { ignoreSearch: true });
  const gone = like.filter((one) => one.url !== request.url && one.url.includes("?"));
  await Promise.all(gone.map((one) => shelf.delete(one)));
  return answer;
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { pathname, search } = new URL(request.url);
  if (request.method !== "GET") return;
  if (ALWAYS.includes(pathname)) event.respondWith(search ? keptFirst(request) : networkFirst(request));
  else if (ENTRY_PAGE.test(pathname)) event.respondWith(networkFirst(request));
});
