/* The worker: opens kept pages where there is no network. It never keeps a POST, a filing, a
   set-up page, or anything but the pages that the book names in `keep`. */
const PATIENCE = 6000; // ms for a page of which there is a copy
const LONGEST = 30000; // ms for a record on its way

const BESIDE = new Set(["change", "more"]); // steps of a form that record nothing
const AWAY = new Set([502, 503, 504]); // a proxy in front says that the book is away

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
    const text = isPage(found) ? await found.clone().text() : "";
    if (text ? !isOurs(text) : isPage(found)) throw new Error(`${path}: another's page`);
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

/** A kept form lacks what the address asks of the book: the figures of the entry it replaces. */
const copyOf = (url) => (url.searchParams.has("instead_of") ? undefined : keptPage(url.pathname));

/** A page: from the book, else its copy, else the words that there is no network. */
async function openPage(event, url) {
  const path = url.pathname;
  const copy = await copyOf(url);
  try {
    const response = copy
      ? await within(PATIENCE, (signal) => fetch(event.request, { signal }))
      : await fetch(event.request);
    if (AWAY.has(response.status)) throw new Error("away");
    if (copy) event.waitUntil(renewPage(path, response.clone()).catch(() => {}));
    return response;
  } catch {
    return copy || (await fromShell(path)) || (await fromShell(BOOK.offline)) || Response.error();
  }
}

/** Whether *response* may be the book's: one that leads on is, and a page of ours says so. */
async function isBooks(response) {
  if (response.type === "opaqueredirect") return true;
  if (AWAY.has(response.status)) return false;
  return !isPage(response) || isOurs(await response.clone().text());
}

/** A record on its way by its own page; without an answer it waits on the tablet. */
async function sendPage(request) {
  try {
    const response = await within(LONGEST, (signal) => fetch(request, { signal }));
    if (await isBooks(response)) return response;
  } catch {
    // It is kept, and its key makes it harmless to send it again.
  }
  return Response.redirect(`${BOOK.waiting}?unsent=1`, 303);
}

/** Whether *request* is a record on its way, and not an act beside it: to change something, to
    have more rows, to undo. */
async function isRecord(request, path) {
  if (BOOK.acts.includes(path) || !BOOK.records.some((start) => path.startsWith(start))) return false;
  const form = await request.clone().formData().catch(() => new FormData());
  return !BESIDE.has(form.get("step"));
}

/** A form on its way, as a record or as another. */
const post = async (event, path) =>
  (await isRecord(event.request, path)) ? sendPage(event.request) : postPage(event);

/** Another form on its way: where the book is not reached the page stays, with what was typed. */
async function postPage(event) {
  try {
    const response = await fetch(event.request);
    if (!AWAY.has(response.status)) return response;
  } catch {
    // Said below.
  }
  const page = await self.clients.get(event.clientId);
  page?.postMessage({ told: "not-sent" });
  return new Response(null, { status: 204 });
}

/** Leaving takes the pages along; where the book is not reached, nobody has left. */
async function leave(request) {
  try {
    const response = await fetch(request);
    if (await isBooks(response)) await caches.delete(PAGES);
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
    if (request.method === "GET") return openPage(event, url);
    if (BOOK.leaving.includes(url.pathname)) return leave(request);
    return post(event, url.pathname);
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
