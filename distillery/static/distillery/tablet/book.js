/* Asking the book: whether it is there and for whom, and what it says to one record.

   Whatever else answers in its place (a Wi-Fi log-in page, a proxy, a broken server) is told
   apart by what it says, and is never taken for the book. */
"use strict";

Tablet.book = (() => {
  const AWAY = new Set([502, 503, 504]); // a proxy in front says that the book is away
  const ANSWERS = new Set(["taken", "had", "other", "look"]);
  const facts = () => document.getElementById("tablet")?.dataset;

  const isJson = (response) => (response.headers.get("Content-Type") || "").includes("json");
  const isOurs = (text) => text.includes('<main id="content"'); // as every page of the book has it

  /** Ask at *path*; after *ms* without an answer it is one that failed. */
  const ask = (path, ms, more = {}) =>
    fetch(path, { redirect: "manual", cache: "no-store", signal: AbortSignal.timeout(ms), ...more });

  /** The log-in may only be called lost where the book itself asks for it. */
  async function asksToLogIn(response) {
    if (response.type !== "opaqueredirect" && response.status !== 401) return false;
    const page = await ask(facts().login, 5000);
    return page.ok && isOurs(await page.text());
  }

  /** What an answer is that is not what was asked for, as a word of the strip. */
  async function wordOf(response) {
    if (await asksToLogIn(response)) return "log-in";
    if (AWAY.has(response.status)) return "no-network";
    if (response.status === 500) return "broken";
    const isBook = response.type === "basic" && response.status >= 400 && isOurs(await response.text());
    return isBook ? "refused" : "not-ours";
  }

  /** {person, token}, or {word} for why not. */
  async function reach() {
    try {
      const response = await ask(facts().here, 5000);
      if (!response.ok || !isJson(response)) return { word: await wordOf(response) };
      const told = await response.json();
      if (typeof told.person !== "string" || !told.token) return { word: "not-ours" };
      Tablet.clock.heard(told.now);
      return told;
    } catch (error) {
      return { word: error.name === "TimeoutError" ? "slow" : "no-network" };
    }
  }

  /** The book's answer to *record*; {answer: "stop", word} where it was not the book's. */
  async function send(record, token) {
    const response = await ask(facts().send, 20000, {
      method: "POST", body: JSON.stringify(Tablet.lines.line(record)),
      headers: { "Content-Type": "application/json", "X-CSRFToken": token,
        "X-Tablet-Time": Tablet.words.stamp() },
    });
    if (isJson(response)) {
      const told = await response.json();
      return ANSWERS.has(told.answer) ? told : { answer: "stop", word: "not-ours" };
    }
    const word = await wordOf(response);
    if (word === "broken") return { answer: "broken" };
    if (word !== "refused") return { answer: "stop", word };
    const told = response.status === 403 || response.status === 404
      ? "This log-in may not send it" : "The book does not take it";
    return { answer: "look", sentences: [`${told} (${response.status}). It is kept here.`] };
  }

  return { reach, send, facts };
})();
