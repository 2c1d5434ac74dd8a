/* The worker: opens kept pages where there is no network. It never keeps a POST, a filing, a
   set-up page, or anything but the pages that the book names in `keep`. */
const PATIENCE = 6000; // ms for a page of which there is a copy
const LONGEST = 30000; // ms for a record on its way

const within = (ms, work) => {
  const control = new AbortController();
  const timer = setTimeout(() => control.abort(), ms);
  return work(control.signal).finally(() => clearTimeout(timer));
};

async function install() {
  const shell = await caches.open(SHELL);
  for (const path of BOOK.shell) {
    // Without cookies: these pages are nobody's.
    const found = await fetch(path, { credentials: "omit", cache: "reload" });
    if (!found.ok) throw new Error(`${path}: ${found.status}`);
    const isPage = (found.headers.get("Content-Type") || "").includes("text/html");
    const text = isPage ? await found.clone().text() : "";
    await shell.put(path, found);
    await keepLinked(shell, text);
  }
}

async function activate() {
  const names = await caches.keys();
  await Promise.all(names
    .filter((name) => name.startsWith("shell-") && name !== SHELL)
    .map((name) => caches.delete(name)));
  await self.clients.claim();
}

async function fromShell(path) {
  const shell = await caches.open(SHELL);
  return shell.match(path);
}

/** A page: from the book, else its copy, else the words that there is no network. */
async function openPage(event, path) {
  const copy = await keptPage(path);
  try {
    const response = copy
      ? await within(PATIENCE, (signal) => fetch(event.request, { signal }))
      : await fetch(event.request);
    if (copy) event.waitUntil(renewPage(path, response.clone()).catch(() => {}));
    return response;
  } catch {
    return copy || (await fromShell(path)) || (await fromShell(BOOK.offline)) || Response.error();
  }
}

/** A record on its way by its own page; without an answer it waits on the tablet. */
async function sendPage(request) {
  try {
    return await within(LONGEST, (signal) => fetch(request, { signal }));
  } catch {
    return Response.redirect(`${BOOK.waiting}?unsent=1`, 303);
  }
}

/** Leaving takes the pages along; where the book is not reached, nobody has left. */
async function leave(request) {
  try {
    const response = await fetch(request);
    await caches.delete(PAGES);
    return response;
  } catch {
    return (await fromShell(BOOK.offline)) || Response.error();
  }
}

/** A file of ours: as this version has it, else from the book, else as it was kept. */
async function openFile(request, path) {
  const held = await fromShell(path);
  if (held) return held;
  try {
    return await fetch(request);
  } catch {
    return (await caches.match(path)) || Response.error();
  }
}

/** A part of a page that is asked for again: without network it stays as it is. */
const partial = (request) => fetch(request).catch(() => new Response(null, { status: 204 }));

function answer(event) {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin) return undefined;
  if (request.mode === "navigate") {
    if (request.method === "GET") return openPage(event, url.pathname);
    if (BOOK.leaving.includes(url.pathname)) return leave(request);
    return url.pathname.startsWith(BOOK.record) ? sendPage(request) : undefined;
  }
  if (request.headers.has("HX-Request")) return partial(request);
  if (request.method !== "GET") return undefined;
  if (/\.(css|js|svg|png)$/.test(url.pathname)) return openFile(request, url.pathname);
  return undefined;
}

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("fetch", (event) => {
  const answered = answer(event);
  if (answered) event.respondWith(answered);
});
self.addEventListener("message", (event) => {
  const { act, ...told } = event.data;
  if (act === "take-over") self.skipWaiting();
  if (act === "keep") event.waitUntil(keepAll(told).catch(() => {}));
});
