/* Sending: one record a request, in order, one sender at a time, again until the book answers. */
"use strict";

Tablet.sender = (() => {
  const EVERY = 30000;
  const FAILS = 3; // answers of "the book broke" before a record is shown as needing a look
  let status = "";
  const listeners = [];

  function become(word) {
    status = word;
    listeners.forEach((listener) => listener(word));
  }

  const facts = () => document.getElementById("tablet")?.dataset;

  /** {person, token}; {lost: true} without a log-in; null without the book. */
  async function reach() {
    try {
      const response = await fetch(facts().here, {
        redirect: "manual", cache: "no-store", signal: AbortSignal.timeout(5000),
      });
      if (response.type === "opaqueredirect") return { lost: true };
      if (response.ok && isJson(response)) return await response.json();
      return response.status < 500 ? { lost: true } : null;
    } catch {
      return null;
    }
  }

  const isJson = (response) => (response.headers.get("Content-Type") || "").includes("json");

  async function post(record, token) {
    const response = await fetch(facts().send, {
      method: "POST", redirect: "manual", cache: "no-store", signal: AbortSignal.timeout(20000),
      headers: { "Content-Type": "application/json", "X-CSRFToken": token },
      body: JSON.stringify(Tablet.lines.line(record)),
    });
    if (response.type === "opaqueredirect") return { answer: "lost" };
    if (isJson(response)) return response.json();
    if (response.status >= 500) return { answer: "broken", status: response.status };
    if (response.ok || response.status === 401) return { answer: "lost" };
    const told = `This log-in may not send it (${response.status}). It is kept here.`;
    return { answer: "look", sentences: [told], questions: [] };
  }

  async function remember(record, answer) {
    const sent = (await Tablet.store.fact("sent")) || [];
    sent.unshift({ title: record.title, entry: answer.entry, at: Tablet.words.stamp() });
    await Tablet.store.setFact("sent", sent.slice(0, 20));
  }

  /** Act on the book's *answer*; whether the next record may be sent. */
  async function apply(record, answer) {
    if (answer.answer === "lost") return stop("log-in");
    if (answer.answer === "taken" || answer.answer === "had") {
      await remember(record, answer);
      await Tablet.store.drop(record.key);
      return true;
    }
    if (answer.answer === "other") return true;
    if (answer.answer === "broken") {
      record.fails = (record.fails || 0) + 1;
      await Tablet.store.put(record);
      if (record.fails < FAILS) return stop("broken");
      answer.sentences = [
        `The book failed on this record (${answer.status}). It is kept here: send it again ` +
        "later, or save it to a file."];
    }
    await Tablet.store.put({
      ...record, state: "look", sentences: answer.sentences, questions: answer.questions || [],
      closed: Boolean(answer.closed), key_used: Boolean(answer.key_used),
    });
    return true;
  }

  function stop(word) {
    become(word);
    return false;
  }

  const isDue = (record) => record.state === "waiting" || record.state === "sending";

  async function sendAll() {
    const passed = new Set();
    const next = async () =>
      (await Tablet.store.line()).find((one) => isDue(one) && !passed.has(one.key));
    if (!(await next())) return become("");
    const here = await reach();
    if (here === null) return become("no-network");
    if (here.lost) return become("log-in");
    become("sending");
    for (let record = await next(); record; record = await next()) {
      passed.add(record.key);
      if (record.by !== here.person) continue;
      try {
        if (!(await apply(record, await post(record, here.token)))) return status;
      } catch (error) {
        return become(Tablet.store.isFull(error) ? "full" : "no-network");
      }
    }
    return become("");
  }

  /** Send what waits, unless another page of this tablet is at it. */
  async function now() {
    try {
      if (!navigator.locks) return await sendAll();
      return await navigator.locks.request("plant-book-sending", { ifAvailable: true }, (lock) =>
        lock ? sendAll() : status);
    } catch (error) {
      return become(Tablet.store.isFull(error) ? "full" : "no-store");
    }
  }

  function start() {
    if (!facts()) return;
    now();
    addEventListener("online", now);
    addEventListener("pageshow", (event) => { if (event.persisted) now(); });
    document.addEventListener("visibilitychange", () => { if (!document.hidden) now(); });
    setInterval(now, EVERY);
  }

  return { now, reach, start, status: () => status, onStatus: (one) => listeners.push(one) };
})();
