/* What the worker keeps: the shell of this version, and the pages of the person who is here. */
"use strict";

const SHELL = `shell-${BOOK.version}`;
const PAGES = "pages";
const ABOUT = "/tablet/about-these-pages"; // an entry of the cache, no address of the book
const LINKED = /(?:href|src)="(\/[^"]+\.(?:css|js|svg|png))"/g;

const isPage = (response) => (response.headers.get("Content-Type") || "").includes("text/html");
const isOurs = (text) => text.includes('<main id="content"'); // as every page of the book has it

const keptAt = () => new Date().toISOString();

/** Whose pages are kept, and when they were last fetched. */
async function about(pages) {
  const kept = await pages.match(ABOUT);
  return kept ? kept.json() : { person: "", at: 0 };
}

const setAbout = (pages, facts) => pages.put(ABOUT, new Response(JSON.stringify(facts)));

const personIn = (text) => text.match(/id="tablet"[^>]*data-person="([^"]*)"/)?.[1] || "";

/** Keep a copy of *response* under its path, if it is *person*'s page; says when it was kept. */
async function keepPage(pages, path, response, person, fetched) {
  if (!response.ok || response.redirected) return false;
  const text = await response.text();
  if (!person || personIn(text) !== person) return false;
  const headers = new Headers(response.headers);
  ["content-length", "content-encoding", "vary"].forEach((name) => headers.delete(name));
  const told = text.replace("<html ", `<html data-kept="${keptAt()}" `);
  await pages.put(path, new Response(told, { headers }));
  await keepLinked(pages, text, fetched);
  return true;
}

/** Keep the files that a page links to, where the shell does not hold them. */
async function keepLinked(pages, text, fetched = new Set()) {
  const shell = await caches.open(SHELL);
  for (const [, path] of text.matchAll(LINKED)) {
    if (fetched.has(path) || (await shell.match(path))) continue;
    fetched.add(path);
    const found = await fetch(path);
    if (found.ok && !isPage(found)) await pages.put(path, found);
  }
}

let keeping = null; // the job on hand: for whom, and when it is done

/** Fetch the pages once, however many pages of this tablet ask for it.

    Where another person has taken the tablet, the job for the one before stops at its next page,
    and theirs follows. */
function keepAll(told) {
  if (keeping?.person !== told.person) {
    const before = keeping?.done;
    const job = { person: told.person };
    const isOn = () => keeping === job;
    job.done = Promise.resolve(before).catch(() => {})
      .then(() => isOn() && fetchAll(told, isOn))
      .finally(() => { if (isOn()) keeping = null; });
    keeping = job;
  }
  return keeping.done;
}

/** Fetch the pages that this person records with, as long as the job *isOn*; the pages of another
    are cleared first. */
async function fetchAll({ person, every }, isOn) {
  let pages = await caches.open(PAGES);
  const known = await about(pages);
  if (known.person !== person) {
    await caches.delete(PAGES);
    pages = await caches.open(PAGES);
  } else if (Date.now() - known.at < every) {
    return;
  }
  await setAbout(pages, { person, at: 0 }); // cut off half-way, all are fetched again
  const answer = await fetch(BOOK.keep, { redirect: "manual", cache: "no-store" });
  if (!answer.ok) return;
  const told = await answer.json();
  if (told.person !== person) return;
  const fetched = new Set();
  for (const path of BOOK.open) {
    const page = await fetch(path, { cache: "no-store" });
    if (!page.ok || !isOurs(await page.clone().text())) continue;
    // Nobody's page, with the plant's own lines: it stays when the person leaves.
    await (await caches.open(SHELL)).put(path, page.clone());
    await pages.put(path, page);
  }
  for (const path of told.paths) {
    if (!isOn()) return;
    const page = await fetch(path, { redirect: "manual", cache: "no-store" });
    if (page.type === "opaqueredirect") return; // the log-in is gone
    await keepPage(pages, path, page, person, fetched);
  }
  await setAbout(pages, { person, at: Date.now() });
}

/** The kept copy of a page, if there is one. */
const keptPage = (path) => caches.match(path, { cacheName: PAGES });

/** A page that was just opened and is one of those kept: its copy is renewed. */
async function renewPage(path, response) {
  const pages = await caches.open(PAGES);
  const { person } = await about(pages);
  if (await pages.match(path)) await keepPage(pages, path, response, person);
}
