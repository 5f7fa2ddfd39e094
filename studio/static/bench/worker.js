// Lets the bench open without a line: pages of jobs that were opened before, and the files they need.
// It keeps bench pages only (they hold no client's name, address, price or message) and drops them all
// as soon as the house asks to sign in again.
const PAGES = "bench-pages-1";
const FILES = "bench-files-1";
const PATIENCE = 4000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

const isBench = (url) => url.origin === location.origin && url.pathname.startsWith("/studio/bench/") && !/\/photo\/\d+\//.test(url.pathname);
const isFile = (url) => url.origin === location.origin && url.pathname.includes("/static/");
const plain = (url) => url.origin + url.pathname;

const fetchPage = async (request) => {
  const url = new URL(request.url);
  const answer = await fetch(request);
  if (answer.type === "opaqueredirect" || answer.redirected || answer.status === 403) await caches.delete(PAGES);
  else if (answer.ok) await (await caches.open(PAGES)).put(plain(url), answer.clone());
  return answer;
};

const page = async (request) => {
  const kept = await caches.match(plain(new URL(request.url)));
  if (!kept) return fetchPage(request);
  const slow = new Promise((done) => setTimeout(done, PATIENCE, kept));
  return Promise.race([fetchPage(request).catch(() => kept), slow]);
};

const file = async (request) => {
  try {
    const answer = await fetch(request);
    if (answer.ok) await (await caches.open(FILES)).put(request, answer.clone());
    return answer;
  } catch (error) {
    const kept = await caches.match(request);
    if (kept) return kept;
    throw error;
  }
};

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET") return;
  if (event.request.mode === "navigate" && isBench(url)) event.respondWith(page(event.request));
  else if (isFile(url)) event.respondWith(file(event.request));
});

self.addEventListener("message", (event) => {
  const { keep = [], files = [] } = event.data || {};
  event.waitUntil((async () => {
    for (const path of keep) {
      const answer = await fetch(path, { redirect: "manual" }).catch(() => null);
      if (answer && answer.ok) await (await caches.open(PAGES)).put(plain(new URL(path, location.origin)), answer);
    }
    const held = await caches.open(FILES);
    for (const name of files) if (isFile(new URL(name)) && !(await held.match(name))) await held.add(name).catch(() => null);
  })());
});
