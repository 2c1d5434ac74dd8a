/* Sending: one record a request, in order, one sender at a time, again until the book answers. */
"use strict";

Tablet.sender = (() => {
  const EVERY = 30000;
  const FAILS = 3; // answers of "the book broke" before a record is shown as needing a look
  const BROKE = "The book failed on this record. It is kept here: send it again later, or save it " +
    "to a file.";
  let status = "";
  const listeners = [];

  function become(word) {
    status = word;
    listeners.forEach((listener) => listener(word));
  }

  function stop(word) {
    become(word);
    return false;
  }

  /** For the list of what was sent; a tablet too full for it has sent it all the same. */
  async function remember(record, answer) {
    const sent = (await Tablet.store.fact("sent")) || [];
    sent.unshift({ title: record.title, entry: answer.entry, at: Tablet.words.stamp() });
    await Tablet.store.setFact("sent", sent.slice(0, 20));
  }

  const looked = ({ sentences, questions = [], closed, key_used }) =>
    ({ state: "look", sentences, questions, closed: Boolean(closed), key_used: Boolean(key_used) });

  /** Act on the book's *answer*; whether the next record may be sent. */
  async function apply(record, answer) {
    if (answer.answer === "stop") return stop(answer.word);
    if (answer.answer === "other") return true;
    if (answer.answer === "taken" || answer.answer === "had") {
      await Tablet.store.settle(record);
      await remember(record, answer).catch(() => {});
      return true;
    }
    if (answer.answer === "look") {
      await Tablet.store.settle(record, looked(answer));
      return true;
    }
    const fails = (record.fails || 0) + 1;
    await Tablet.store.settle(record, { fails });
    if (fails < FAILS) return stop("broken");
    await Tablet.store.settle(record, { ...looked({ sentences: [BROKE] }), fails: 0 });
    return true;
  }

  const isDue = (record) => record.state === "waiting" || record.state === "sending";

  async function sendAll() {
    const passed = new Set();
    const next = async () =>
      (await Tablet.store.line()).find((one) => isDue(one) && !passed.has(one.key));
    if (!(await next())) return become("");
    const here = await Tablet.book.reach();
    if (here.word) return become(here.word === "refused" ? "log-in" : here.word);
    become("sending");
    for (let record = await next(); record; record = await next()) {
      passed.add(record.key);
      if (record.by !== here.person) continue;
      try {
        if (!(await apply(record, await Tablet.book.send(record, here.token)))) return status;
      } catch (error) {
        if (Tablet.store.isFull(error)) return become("full");
        return become(error.name === "TimeoutError" ? "slow" : "no-network");
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
    if (!Tablet.book.facts()) return;
    now();
    addEventListener("online", now);
    addEventListener("pageshow", (event) => { if (event.persisted) now(); });
    document.addEventListener("visibilitychange", () => { if (!document.hidden) now(); });
    setInterval(now, EVERY);
  }

  return { now, start, status: () => status, onStatus: (one) => listeners.push(one) };
})();
