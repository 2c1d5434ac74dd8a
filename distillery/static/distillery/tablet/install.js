/* The worker that keeps pages: registered, renewed while nothing is sent, told whom it is for. */
"use strict";

Tablet.install = (() => {
  const AGAIN = 10 * 60000; // how old the kept lists may be before they are fetched again
  const DRAFTS = 2 * 24 * 3600 * 1000;
  const NOT_SENT = "The book gave no answer, and this page is not kept for later. What you typed stays here. Once " +
    "the network is back, look whether it is done; if not, send it again.";
  const facts = () => document.getElementById("tablet").dataset;

  /** Let a new worker take over; under the sender's lock, so never while a record is on its way. */
  function renew(worker) {
    const take = () => worker.postMessage({ act: "take-over" });
    if (!navigator.locks) return take();
    return navigator.locks.request("plant-book-sending", take);
  }

  function follow(worker) {
    worker?.addEventListener("statechange", () => {
      if (worker.state === "installed" && navigator.serviceWorker.controller) renew(worker);
    });
  }

  function watch(registration) {
    if (registration.waiting) renew(registration.waiting);
    follow(registration.installing); // one that was found before this page listened
    registration.addEventListener("updatefound", () => follow(registration.installing));
  }

  /** A form that the worker could not send: the page stayed, and the person is told so. */
  function onTold({ data }) {
    if (data.told !== "not-sent") return;
    document.dispatchEvent(new Event("not-sent"));
    Tablet.strip.note("not-sent", NOT_SENT);
    document.getElementById("tablet").scrollIntoView();
  }

  async function keepPages() {
    if (!facts().person) return;
    const registration = await navigator.serviceWorker.ready;
    registration.active.postMessage({ act: "keep", person: facts().person, every: AGAIN });
  }

  /** Ask the browser not to throw away what is kept when the disk runs low. */
  async function persist() {
    const isKept = await navigator.storage?.persisted?.();
    if (!isKept) await navigator.storage?.persist?.();
  }

  async function forgetOldDrafts() {
    for (const record of await Tablet.store.all()) {
      if (record.state === "draft" && Date.now() - record.since > DRAFTS) {
        await Tablet.store.drop(record.key);
      }
    }
  }

  async function start() {
    if (!document.getElementById("tablet")) return;
    forgetOldDrafts().catch(() => {});
    if (!("serviceWorker" in navigator)) return;
    navigator.serviceWorker.addEventListener("message", onTold);
    const registration = await navigator.serviceWorker
      .register(facts().worker, { scope: "/", updateViaCache: "none" }).catch(() => undefined);
    if (!registration) return;
    watch(registration);
    await persist();
    await keepPages();
    addEventListener("online", keepPages);
    setInterval(keepPages, AGAIN);
  }

  return { start };
})();
