/* What the tablet keeps in IndexedDB: the records that wait, and a few facts about itself.

   A record has a state: "draft" (typed, not confirmed), "sending" (confirmed, its page is on the
   way), "waiting" (to be sent), "look" (the book said why it does not take it). */
"use strict";

Tablet.store = (() => {
  const NAME = "plant-book";
  const changed = "BroadcastChannel" in window ? new BroadcastChannel(NAME) : null;
  const listeners = [];
  let opening = null;

  const asked = (request) =>
    new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });

  function open() {
    opening ||= new Promise((resolve, reject) => {
      const request = indexedDB.open(NAME, 1);
      request.onupgradeneeded = () => {
        request.result.createObjectStore("records", { keyPath: "key" });
        request.result.createObjectStore("facts");
      };
      request.onsuccess = () => {
        const forget = () => { opening = null; };
        request.result.onversionchange = () => { request.result.close(); forget(); };
        request.result.onclose = forget; // the browser took it away: the next act opens it anew
        resolve(request.result);
      };
      request.onerror = () => { opening = null; reject(request.error); };
    });
    return opening;
  }

  /** Do *work* with both stores in one transaction: it all stays, or none of it. */
  async function within(mode, work) {
    const database = await open();
    const transaction = database.transaction(["records", "facts"], mode, { durability: "strict" });
    const ended = new Promise((resolve, reject) => {
      transaction.oncomplete = resolve;
      transaction.onabort = () => reject(transaction.error || new Error("not kept"));
    });
    ended.catch(() => {});
    const result = await work(transaction.objectStore("records"), transaction.objectStore("facts"));
    await ended;
    return result;
  }

  let soon = 0;

  /** Let the pages draw what waits; many changes at once are drawn once. */
  function hear() {
    soon ||= setTimeout(() => {
      soon = 0;
      listeners.forEach((listener) => listener());
    }, 50);
  }

  function tell() {
    hear();
    changed?.postMessage("changed");
  }
  changed?.addEventListener("message", hear);

  async function write(work) {
    const result = await within("readwrite", work);
    tell();
    return result;
  }

  /** Keep *record*; when it first goes to be sent it gets its place in the line. */
  const put = (record) =>
    write(async (records, facts) => {
      if (record.state !== "draft" && !record.order) {
        record.order = ((await asked(facts.get("order"))) || 0) + 1;
        facts.put(record.order, "order");
      }
      records.put(record);
      return record;
    });

  /** The book's word on *sent*: it goes, or stays with *told*. What was mended meanwhile stays as
      it is, to be sent in its turn. */
  const settle = (sent, told = null) =>
    write(async (records) => {
      const now = await asked(records.get(sent.key));
      if (!now || JSON.stringify(now.fields) !== JSON.stringify(sent.fields)) return;
      if (told) records.put({ ...now, ...told });
      else records.delete(sent.key);
    });

  const get = (key) => within("readonly", (records) => asked(records.get(key)));
  const drop = (key) => write(async (records) => { records.delete(key); });
  const all = () => within("readonly", (records) => asked(records.getAll()));
  const fact = (name) => within("readonly", (_, facts) => asked(facts.get(name)));
  const setFact = (name, value) => write(async (_, facts) => { facts.put(value, name); });

  /** All that is confirmed and not yet known to be in the book, in the order it was made. */
  async function line() {
    const found = (await all()).filter((record) => record.state !== "draft");
    return found.sort((one, other) => one.order - other.order);
  }

  /** This tablet's own name, made once. */
  async function device() {
    const known = await fact("device");
    if (known) return known;
    const made = Tablet.words.unique();
    await setFact("device", made);
    return made;
  }

  /** Whether *error* says that the tablet has no room left. */
  const isFull = (error) =>
    Boolean(error) && (error.name === "QuotaExceededError" || /quota|full/i.test(error.message || ""));

  return {
    put, settle, get, drop, all, line, fact, setFact, device, isFull,
    onChange: (listener) => listeners.push(listener),
  };
})();
