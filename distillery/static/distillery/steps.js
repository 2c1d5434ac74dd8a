// A long form one card at a time, back and forth without loss: every card stays in the one form.
"use strict";
(() => {
  const form = document.getElementById("sheet");
  const cards = form ? [...form.querySelectorAll(".step")] : [];
  // More rows come from the server as the whole page anew: it opens again where they were added.
  const ROWS = "rows:added";
  const store = (value) => { try { sessionStorage.setItem(ROWS, value); } catch { /* opens at the top */ } };
  const added = (() => { try { return sessionStorage.getItem(ROWS); } catch { return null; } })();
  const grown = added && form ? document.getElementById(added) : null;
  store("");
  form?.addEventListener("click", (event) => {
    const more = event.target.closest("button[value=more]");
    if (more) store(more.closest("fieldset").id);
  });
  const firstEmpty = () => {
    const row = grown && [...grown.querySelectorAll(".rows")].find((one) =>
      ![...one.querySelectorAll("input:not([type=checkbox])")].some((box) => box.value));
    if (row) row.scrollIntoView({ block: "center" });
  };
  if (cards.length < 2) { firstEmpty(); return; }
  const last = form.querySelector(".step-acts");
  const WAY = "cards:all";
  const all = () => { try { return localStorage.getItem(WAY) === "yes"; } catch { return false; } };
  let here = 0;

  const bar = document.createElement("div");
  bar.className = "step-bar";
  bar.innerHTML = '<p class="step-place" role="status" tabindex="-1"></p><button type="button" class="plain step-way"></button>';
  form.before(bar);
  const ways = document.createElement("div");
  ways.className = "step-ways";
  ways.innerHTML = '<button type="button" class="step-back">Back</button><button type="button" class="main step-next">Next</button>';
  last.before(ways);
  const place = bar.querySelector(".step-place");
  const way = bar.querySelector(".step-way");
  const back = ways.querySelector(".step-back");
  const next = ways.querySelector(".step-next");

  const show = (focus) => {
    const whole = all();
    cards.forEach((card, at) => { card.hidden = !whole && at !== here; });
    ways.hidden = whole;
    last.hidden = !whole && here < cards.length - 1;
    next.hidden = here === cards.length - 1;
    back.hidden = here === 0;
    place.textContent = whole ? "" : `${here + 1} of ${cards.length}: ${cards[here].dataset.title}`;
    way.textContent = whole ? "One card at a time" : "All on one page";
    if (focus && !whole) {
      place.focus({ preventScroll: true });
      bar.scrollIntoView({ block: "start" });
      form.dispatchEvent(new CustomEvent("step", { detail: cards[here] }));
    }
  };
  const go = (to) => { here = Math.max(0, Math.min(cards.length - 1, to)); show(true); };
  const reveal = (id) => {
    const box = document.getElementById(id);
    const at = box ? cards.findIndex((card) => card.contains(box)) : -1;
    if (at < 0) return;
    here = at; show(false);
    box.closest("details")?.setAttribute("open", "");
    box.focus();
  };

  back.addEventListener("click", () => go(here - 1));
  next.addEventListener("click", () => go(here + 1));
  way.addEventListener("click", () => {
    try { localStorage.setItem(WAY, all() ? "no" : "yes"); } catch { /* it stays as it is */ }
    show(false);
  });
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.target.tagName !== "INPUT" || all()) return;
    if (here < cards.length - 1) { event.preventDefault(); go(here + 1); }
  });
  document.addEventListener("click", (event) => {
    const link = event.target.closest(".problem a[href^='#']");
    if (link) { event.preventDefault(); reveal(link.hash.slice(1)); }
  });
  const wrong = grown || form.querySelector(".wrong");
  if (wrong) here = Math.max(0, cards.findIndex((card) => card.contains(wrong)));
  window.formSteps = { next: () => (all() || here === cards.length - 1 ? false : (go(here + 1), true)) };
  show(false);
  firstEmpty();
})();
