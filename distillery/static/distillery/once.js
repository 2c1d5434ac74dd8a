// A double tap sends a form once. Taken off again when the page comes back, when the worker tells
// that no answer came, or when the network hangs.
"use strict";
(() => {
  const WAIT_MS = 8000;
  const sent = new WeakMap();
  document.addEventListener("submit", (event) => {
    const before = sent.get(event.target);
    if (before && performance.now() - before < WAIT_MS) {
      event.preventDefault();
      event.stopImmediatePropagation();
      return;
    }
    if (!event.defaultPrevented) sent.set(event.target, performance.now());
  }, true);
  const forget = () => { for (const form of document.forms) sent.delete(form); };
  window.addEventListener("pageshow", forget);
  document.addEventListener("not-sent", forget);
  // The minute of undoing is told by the server; the page counts it down by its own running time.
  for (const undo of document.querySelectorAll("form.undo")) {
    setTimeout(() => { undo.hidden = true; }, Number(undo.dataset.seconds) * 1000);
  }
})();
