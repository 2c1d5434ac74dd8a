/* A form that records, and its preview: kept on the tablet before it is sent, whatever comes of it. */
"use strict";

Tablet.form = (() => {
  const FULL =
    "This tablet's storage is full, and this record is not kept. Write it on paper, or save what " +
    "waits to a file and take it off the tablet.";
  const NOT_KEPT =
    "This browser keeps nothing, and the book is not reached: this record is not kept. Leave this " +
    "page open until the network is back, or write it on paper.";
  const NOTHING = "Fill in at least one figure.";
  const strip = () => document.getElementById("tablet").dataset;
  const isKeptPage = () => Boolean(document.documentElement.dataset.kept);

  /** Keep all that *form* holds. Returns null, and says why, where the tablet does not. */
  async function kept(form, step) {
    try {
      return await Tablet.keeping.keepAll(form, step);
    } catch (error) {
      await Tablet.strip.note("full", Tablet.store.isFull(error) ? FULL : "");
      return null;
    }
  }

  /** Nothing is left to take up again of what goes into the line of what waits. */
  function forgetDraft(record) {
    for (const name of Object.keys(localStorage).filter((one) => one.startsWith("draft:"))) {
      const draft = localStorage.getItem(name);
      if (draft.includes(record.key)) localStorage.removeItem(name);
    }
  }

  /** What was typed goes into the line of what waits, and the person is shown so. */
  async function leaveWaiting(records) {
    for (const record of records) {
      forgetDraft(record);
      await Tablet.store.put(Tablet.keeping.waitingOf(record));
    }
    location.assign(`${strip().waiting}?kept=1`);
  }

  /** Whether the page may go to the book itself: it answers, and to no other person. */
  async function mayGo() {
    if (!navigator.onLine) return false;
    const here = await Tablet.book.reach();
    return here.word ? here.word === "log-in" : here.person === strip().person;
  }

  /** The box for the moment, where *form* leaves it to whoever takes it and it is empty. */
  const openMoment = (form) => {
    const at = form.elements.namedItem("at");
    return "step" in form.dataset && at && !at.value ? at : null;
  };

  async function submitted(form, button) {
    const step = stepOf(form, button);
    const at = openMoment(form);
    const stamp = () => { if (at) at.value = Tablet.words.plantTime(strip().zone, Tablet.clock.now()); };
    stamp();
    let records = await kept(form, step);
    if (await mayGo()) {
      stamp(); // the book has just told its time
      if (at && records) records = await kept(form, step);
      return go(form, button);
    }
    if (records?.length) return leaveWaiting(records);
    if (records) await Tablet.strip.note("full", NOTHING);
    else if (!Tablet.strip.has("full")) await Tablet.strip.note("full", NOT_KEPT);
    document.getElementById("tablet").scrollIntoView();
    return undefined;
  }

  /** On to the book, past every listener: it was asked already. */
  function go(form, button) {
    const cookie = document.cookie.match(/(?:^|; )csrftoken=([^;]+)/);
    const token = form.elements.namedItem("csrfmiddlewaretoken");
    if (cookie && token) token.value = cookie[1];
    const pressed = button?.name
      ? Tablet.strip.make("input", { type: "hidden", name: button.name, value: button.value }) : null;
    const action = form.action;
    if (button?.hasAttribute("formaction")) form.action = button.formAction;
    if (pressed) form.append(pressed);
    HTMLFormElement.prototype.submit.call(form);
    pressed?.remove();
    form.action = action;
  }

  /** "preview" or "confirm"; a form that records at once says so itself. */
  const stepOf = (form, button) => form.dataset.step || button?.value;

  async function onSubmit(event) {
    const form = event.target;
    const button = event.submitter;
    if (!form.dataset.operation) return;
    const step = stepOf(form, button);
    if (step === "more" && (isKeptPage() || !navigator.onLine)) {
      event.preventDefault();
      const first = button.closest("fieldset")?.querySelector(".rows [name]");
      if (first) Tablet.fields.addRow(form, first.name.split("-")[0]);
      return;
    }
    if (step !== "preview" && step !== "confirm") return;
    event.preventDefault();
    if ("busy" in form.dataset) return; // a second tap of the same hand
    form.dataset.busy = "";
    try {
      await submitted(form, button);
    } finally {
      delete form.dataset.busy;
    }
  }

  return { start: () => document.addEventListener("submit", onSubmit), isKeptPage, FULL };
})();
