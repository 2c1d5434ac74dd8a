// Asks the server what the form comes to, shortly after each change. Nothing is reckoned here.
"use strict";
(() => {
  const form = document.getElementById("sheet");
  const live = document.getElementById("live");
  if (!form || !live) return;
  const WAIT_MS = 450;
  let later = 0;
  // Busy from the first key until the figures belong to what stands in the boxes.
  const ask = () => {
    clearTimeout(later);
    live.setAttribute("aria-busy", "true");
    later = setTimeout(() => { later = 0; window.htmx?.trigger(live, "ask"); }, WAIT_MS);
  };
  form.addEventListener("input", ask);
  form.addEventListener("change", ask);
  form.addEventListener("restored", ask);
  live.addEventListener("htmx:configRequest", (event) => {
    for (const box of form.querySelectorAll("input.quantity")) {
      const value = window.unitChoice ? window.unitChoice.settled(box, box.value) : box.value;
      if (value !== box.value) event.detail.parameters[box.name] = value;
    }
  });
  live.addEventListener("htmx:beforeRequest", () => live.setAttribute("aria-busy", "true"));
  live.addEventListener("htmx:afterRequest", () => { if (!later) live.removeAttribute("aria-busy"); });
  live.addEventListener("htmx:sendError", () => {
    live.textContent = "No connection: no figures now. What you type is kept on this tablet.";
  });
  form.addEventListener("submit", () => clearTimeout(later));  // the page goes; nobody reads it
  // Not before: the library hears nothing until the whole page is there.
  document.addEventListener("DOMContentLoaded", ask);
})();
