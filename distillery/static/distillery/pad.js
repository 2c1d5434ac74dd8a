// An own number pad for gloves: it opens beside a number box on touch. A keyboard never meets it.
"use strict";
(() => {
  const LONGEST = 12;
  const GHOST_MS = 60;  // two hits of one key so close together are one (our own figure)
  const boxes = () => [...document.querySelectorAll("main input.quantity")]
    .filter((box) => box.checkVisibility() && !box.disabled);
  if (!document.querySelector("main input.quantity")) return;

  const pad = document.createElement("div");
  pad.className = "pad"; pad.hidden = true;
  pad.setAttribute("role", "group");
  pad.setAttribute("aria-label", "Number pad");
  pad.innerHTML = '<p class="pad-title"><span class="pad-label"></span> <output class="pad-value"></output></p><div class="pad-units"></div><div class="pad-keys"></div><button type="button" class="main pad-main" data-key="main"></button>';
  const keys = [["7"], ["8"], ["9"], ["undo", "Undo"], ["4"], ["5"], ["6"], ["clear", "Clear"],
    ["1"], ["2"], ["3"], ["done", "Close"], ["."], ["0"], ["erase", "⌫"], ["next", "Next"]];
  for (const [key, words] of keys) {
    const button = document.createElement("button");
    button.type = "button"; button.dataset.key = key; button.textContent = words || key;
    if (key === "erase") button.setAttribute("aria-label", "Erase the last figure");
    if (key === ".") button.setAttribute("aria-label", "Point");
    if (key === "next") button.className = "pad-next";
    pad.querySelector(".pad-keys").append(button);
  }
  document.querySelector("main").append(pad); // what stands outside a landmark is passed over

  let box = null, history = [], lastKey = "", lastHit = 0;
  const unit = () => (window.unitChoice && window.unitChoice.of(box)) || null;
  const isBelow = () => /^[-−]/.test(digits());
  const digits = () => (window.unitChoice ? window.unitChoice.bare(box.value) : box.value).trim();

  const act = () => [...document.querySelectorAll("form:is([data-keep], [data-pad]) button.main")]
    .find((one) => one.checkVisibility()) || null;
  const show = () => {
    // A key beside it is the next box, so the next card says what it is.
    const words = (one) => (one.matches(".step-next") ? "Next card" : one.textContent);
    pad.querySelector(".pad-main").textContent = act() ? words(act()) : "";
    pad.querySelector(".pad-main").hidden = !act();
    const label = box.labels && box.labels[0] ? box.labels[0].innerText.replace(/\s+/g, " ") : "";
    pad.querySelector(".pad-label").textContent = label;
    pad.querySelector(".pad-value").textContent = box.value || "—";
    const units = pad.querySelector(".pad-units");
    units.replaceChildren();
    const choice = unit();
    const signed = (box.dataset.belowZero || "").split(" ");
    for (const one of choice ? choice.options : []) {
      const button = document.createElement("button");
      button.type = "button"; button.dataset.unit = one.value; button.textContent = one.value;
      button.setAttribute("aria-pressed", String(one.value === choice.value));
      units.append(button);
    }
    if (signed.includes(choice ? choice.value : box.dataset.unit)) {
      const button = document.createElement("button");
      button.type = "button"; button.dataset.key = "sign"; button.textContent = "Below 0";
      button.setAttribute("aria-pressed", String(isBelow()));
      units.append(button);
    }
  };
  const write = (value) => {
    history.push(box.value);
    const whole = value && window.unitChoice ? window.unitChoice.settled(box, value) : value;
    box.value = whole;
    box.dispatchEvent(new Event("input", { bubbles: true }));
    show();
  };
  const close = () => {
    pad.hidden = true; document.body.classList.remove("has-pad");
    if (box) { box.removeAttribute("inputmode"); box.classList.remove("on-pad"); }
    box = null;
  };
  const open = (one) => {
    if (box && box !== one) { box.removeAttribute("inputmode"); box.classList.remove("on-pad"); }
    box = one; history = [];
    box.setAttribute("inputmode", "none");  // the tablet's own keyboard stays away
    box.classList.add("on-pad");
    pad.hidden = false; document.body.classList.add("has-pad");
    show();
    box.scrollIntoView({ block: "center" });
  };
  const follow = () => {
    const all = boxes();
    const after = all[all.indexOf(box) + 1];
    box.dispatchEvent(new Event("change", { bubbles: true }));
    if (after) { after.focus({ preventScroll: true }); open(after); return; }
    if (window.formSteps && window.formSteps.next()) { close(); return; }
    close();
    if (act()) act().scrollIntoView({ block: "center" });
  };

  pad.addEventListener("pointerdown", (event) => event.preventDefault());  // the box keeps the focus
  pad.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (!button || !box) return;
    const now = performance.now(), key = button.dataset.key;
    if (key === lastKey && now - lastHit < GHOST_MS) return;
    lastKey = key; lastHit = now;
    if (button.dataset.unit) {
      unit().value = button.dataset.unit;
      unit().dispatchEvent(new Event("change", { bubbles: true }));
      show();
    } else if (key === "main") {
      const main = act();
      close();
      main.click();
    } else if (key === "undo") {
      if (history.length) { box.value = history.pop(); box.dispatchEvent(new Event("input", { bubbles: true })); show(); }
    } else if (key === "clear") write("");
    else if (key === "erase") write(digits().slice(0, -1));
    else if (key === "sign") write(isBelow() ? digits().slice(1) : `-${digits()}`);
    else if (key === "done") close();
    else if (key === "next") follow();
    else if (digits().length < LONGEST) write(digits() + key);
  });
  const isNumber = (target) => target instanceof HTMLInputElement && target.matches("input.quantity");
  document.addEventListener("pointerdown", (event) => {
    // The tablet's own keyboard is kept away now; the pad opens once the finger is up, or the
    // finger would lift on a key of it.
    if (event.pointerType !== "mouse" && isNumber(event.target)) event.target.setAttribute("inputmode", "none");
  });
  // It closes once the finger is up, too: the page is shorter without it, and would slide away
  // under the finger, which then lifts on another button.
  document.addEventListener("click", (event) => {
    const byFinger = event.pointerType && event.pointerType !== "mouse";
    if (byFinger && isNumber(event.target)) open(event.target);
    else if (event.pointerType && box && !event.composedPath().includes(pad)
        && (!byFinger || event.target.closest("a,button,input,select,textarea,summary,label"))) close();
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" && !(event.key.length === 1)) return;
    if (box) close();
  });
  // A hand that touched the page before goes on with the first empty figure at once; not where the
  // page says what was kept just now, and the pad would cover what came of it.
  const byTouch = () => { try { return sessionStorage.getItem("hand") === "touch"; } catch { return false; } };
  const begin = (among) => {
    const first = among.find((one) => one.hasAttribute("data-first")) || among.find((one) => !one.value);
    if (first) { first.focus({ preventScroll: true }); open(first); }
  };
  const form = document.querySelector("form:is([data-keep], [data-pad])");
  const chosen = form && [...form.querySelectorAll("select")].filter((one) => one.checkVisibility() && !one.matches(".unit-choice"));
  if (byTouch() && form && !form.hasAttribute("data-rest") && !document.querySelector(".problem, .messages") && chosen.every((one) => one.value || one.closest("fieldset"))) begin(boxes());
})();
