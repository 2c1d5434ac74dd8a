// A scanner ends a code with Enter. In a box for codes that leads to the figure read next, and
// sends nothing that is not filled in yet.
"use strict";
(() => {
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches("input[data-scan]")) return;
    event.preventDefault();
    const form = event.target.form;
    const next = form.querySelector("[data-first]") || form.querySelector("input.quantity");
    if (next) next.focus();
  });
})();
