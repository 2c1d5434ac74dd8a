// What is typed is kept on this tablet at every change, with the key of its record, and comes back
// after a reload or a new log-in. It goes when the record is taken.
"use strict";
(() => {
  const DAYS = 7 * 24 * 3600 * 1000;
  const OUT = new Set(["csrfmiddlewaretoken", "step", "digest", "confirm", "drop"]);
  const read = (name) => {
    try { return JSON.parse(localStorage.getItem(name) || "null"); } catch { return null; }
  };
  const drafts = () => Object.keys(localStorage).filter((name) => name.startsWith("draft:"));

  const taken = document.querySelector("[data-taken]");
  if (taken) {
    for (const name of drafts()) {
      const kept = read(name);
      if (kept && kept.fields.some(([field, value]) => /(^|-)key$/.test(field)
          && value === taken.dataset.taken)) localStorage.removeItem(name);
    }
  }
  for (const name of drafts()) {
    const kept = read(name);
    if (!kept || Date.now() - kept.at > DAYS) localStorage.removeItem(name);
  }

  const form = document.querySelector("form[data-keep]");
  if (!form) return;
  const name = `draft:${form.dataset.person}:${form.dataset.keep}`;
  const note = form.querySelector(".kept-note");
  const say = (words, ...buttons) => {
    if (!note) return;
    note.replaceChildren(words, " ");
    for (const [text, act] of buttons) {
      const button = document.createElement("button");
      button.type = "button"; button.className = "plain"; button.textContent = text;
      button.addEventListener("click", act);
      note.append(button);
    }
    note.hidden = false;
  };
  const untouched = (field) => field === "at" && form.elements.at
    && form.elements.at.value === form.elements.at.defaultValue;

  // A bare number is kept with the unit chosen beside it, or it would come back in another.
  const inItsUnit = (field, value) => {
    const box = form.elements.namedItem(field);
    return window.unitChoice && box instanceof HTMLInputElement
      ? window.unitChoice.settled(box, value) : value;
  };

  const keep = () => {
    const fields = [...new FormData(form)].filter(([field, value]) =>
      typeof value === "string" && !OUT.has(field) && !untouched(field))
      .map(([field, value]) => [field, inItsUnit(field, value)]);
    const kept = { at: Date.now(), search: location.search, fields };
    try {
      localStorage.setItem(name, JSON.stringify(kept));
    } catch {
      say("This tablet's memory is full: what you type is not kept on it. Record it now.");
    }
  };

  const put = (fields) => {
    for (const box of form.elements) if (box.type === "checkbox" || box.type === "radio") {
      box.checked = fields.some(([field, value]) => field === box.name
        && (box.type === "checkbox" && !box.hasAttribute("value") ? true : value === box.value));
    }
    for (const [field, value] of fields) {
      const found = form.elements[field];
      if (!found) {  // a row beyond those drawn: it goes along unseen and shows on the check page
        const hidden = document.createElement("input");
        hidden.type = "hidden"; hidden.name = field; hidden.value = value;
        form.append(hidden);
      } else if (found.type !== "checkbox" && found.type !== "radio" && "value" in found) {
        found.value = value;
      }
    }
    form.querySelectorAll("details").forEach((one) => {
      if ([...one.querySelectorAll("input")].some((box) => box.type !== "hidden" && box.value
          && box.type !== "checkbox")) one.open = true;
    });
    form.dispatchEvent(new Event("restored"));
  };
  const forget = () => { localStorage.removeItem(name); location.reload(); };

  const draft = read(name);
  if (draft && (form.hasAttribute("data-fresh") || !form.querySelector(".problem"))
      && !document.querySelector(".problem") && form.hasAttribute("data-fresh")) {
    const time = new Date(draft.at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
    const restore = () => {
      put(draft.fields);
      say(`Filled in from what was left here at ${time}, not recorded yet.`, ["Start afresh", forget]);
    };
    if (draft.search === location.search || location.search === "") restore();
    else say(`One begun at ${time} is not recorded yet.`, ["Take it up", restore],
      ["Throw it away", () => { localStorage.removeItem(name); note.hidden = true; }]);
  }
  let later;
  const soon = (event) => {
    if (!event.isTrusted && event.type === "restored") return;
    clearTimeout(later);
    later = setTimeout(keep, 120);
  };
  form.addEventListener("input", soon);
  form.addEventListener("change", soon);
  // What the address filled in was never typed, and is lost with a log-in unless it is kept now.
  document.addEventListener("submit", (event) => { if (event.target === form) keep(); });
  window.addEventListener("pagehide", () => { if (later) { clearTimeout(later); keep(); } });
  // What came back from the server with a refusal is a draft too.
  if (!form.hasAttribute("data-fresh") && document.querySelector(".problem")) keep();
})();
