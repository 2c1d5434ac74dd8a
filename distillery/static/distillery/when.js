// "When" goes on with the clock while a page stays open and nobody has set it: a form opened at
// 08:00 and sent at 08:20 does not say 08:00. What a person sets stays.
"use strict";
(() => {
  const form = document.querySelector("form[data-keep]");
  const at = form && form.elements.namedItem("at");
  if (!at || !at.value) return;
  const EVERY_MS = 10000, GOES_ON = "when:goes-on";
  const key = form.elements.namedItem("key");
  const name = key ? key.value : form.dataset.keep;
  const remembered = () => { try { return sessionStorage.getItem(GOES_ON); } catch { return null; } };
  const remember = (value) => { try { sessionStorage.setItem(GOES_ON, value); } catch { /* this page only */ } };

  // A form that came back from the server still goes on, if it did when it was opened.
  let goesOn = form.hasAttribute("data-now") || remembered() === name;
  if (goesOn) remember(name);
  let base, since, running, last;
  const anchor = () => { base = last = at.value; since = Date.now(); running = performance.now(); };
  // The tablet may sleep, which its running time does not count; its clock may be set back.
  const elapsed = () => (Date.now() < since ? performance.now() - running : Date.now() - since);
  const stay = () => { goesOn = false; if (remembered() === name) remember(""); };

  const goOn = () => {
    if (!goesOn) return;
    if (at.value !== at.defaultValue) { stay(); return; }
    if (at.value !== last) anchor();
    const now = new Date(Date.parse(`${base}Z`) + elapsed()).toISOString().slice(0, 16);
    if (now !== last) at.value = at.defaultValue = last = now;
  };
  anchor();
  at.addEventListener("input", () => { if (at.value !== at.defaultValue) stay(); });
  setInterval(() => { if (document.activeElement !== at) goOn(); }, EVERY_MS);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) goOn(); });
  // Sent, it stands still: the same page sent twice is one record.
  document.addEventListener("submit", (event) => {
    if (event.target === form) { goOn(); goesOn = false; }
  }, true);
})();
