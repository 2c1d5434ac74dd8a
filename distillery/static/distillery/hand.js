// Whether a finger or keys were at work last, so that a page opened by touch begins with the pad.
"use strict";
(() => {
  const keep = (hand) => {
    try { sessionStorage.setItem("hand", hand); } catch { /* the pad then waits for a tap */ }
  };
  document.addEventListener("pointerdown", (event) => {
    if (event.pointerType !== "mouse") keep("touch");
  }, true);
  document.addEventListener("keydown", (event) => { if (event.key.length === 1) keep("keys"); }, true);
})();
