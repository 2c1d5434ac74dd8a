/* A record's form and its preview: kept on the tablet before it is sent, whatever comes of it. */
"use strict";

Tablet.form = (() => {
  const LAST = "plant-book-last"; // the key that this tab sent last
  const FULL =
    "This tablet's storage is full, and this record is not kept. Write it on paper, or save what " +
    "waits to a file and take it off the tablet.";
  const strip = () => document.getElementById("tablet").dataset;
  const key = (form) => form.elements.namedItem("key");
  const isKept = () => Boolean(document.documentElement.dataset.kept);

  /** The record that *form* holds now, on top of what is known of it from an earlier page. */
  async function recordOf(form, known) {
    const isPreview = "preview" in form.dataset;
    const carried = isPreview && known;
    return {
      ...known,
      key: key(form).value,
      operation: form.dataset.operation,
      title: form.dataset.title,
      by: strip().person,
      registry: strip().registry,
      tablet: strip().tablet || "",
      device: await Tablet.store.device(),
      made_at: known?.made_at || Tablet.words.stamp(),
      fields: carried ? known.mended || known.fields : Tablet.fields.read(form),
      told: carried ? known.told : Tablet.fields.told(form),
      confirm: ticked(form, isPreview ? [] : known?.confirm),
    };
  }

  const ticked = (form, known) => [
    ...new Set([...(known || []), ...[...form.querySelectorAll("[name=confirm]:checked")]
      .map((box) => box.value)]),
  ];

  const isSame = (one, other) => JSON.stringify(one.fields) === JSON.stringify(other.fields);

  /** Whether *form* is where the waiting *known* is mended: opened so, or the book's answer to it. */
  const isMending = (form, known) =>
    "mending" in form.dataset || Boolean(known.mended && form.dataset.answered === known.key);

  /** A page gone back to holds the key of a record that waits: what differs is another record. */
  async function knownOf(form) {
    const known = await Tablet.store.get(key(form).value);
    const waits = known && (known.state === "waiting" || known.state === "look");
    if (!waits || isMending(form, known) || "preview" in form.dataset) return known;
    if (isSame(known, { fields: Tablet.fields.read(form) })) return known;
    key(form).value = Tablet.words.unique();
    return undefined;
  }

  /** Keep what *form* holds, as a draft or as on its way. Returns the record. */
  async function keep(form, step) {
    const known = await knownOf(form);
    const record = await recordOf(form, known);
    const waits = known && (known.state === "waiting" || known.state === "look");
    sessionStorage.setItem(LAST, record.key);
    if (step === "preview") {
      // What waits already stays as it was until its mended form is confirmed.
      const draft = waits
        ? { ...known, mended: record.fields, told: record.told, confirm: record.confirm }
        : { ...record, state: "draft", since: Date.now() };
      return Tablet.store.put(draft);
    }
    const was = waits ? known.state : "draft";
    return Tablet.store.put({ ...record, state: "sending", was, since: Date.now() });
  }

  /** Nothing is left to take up again of what goes into the line of what waits. */
  function forgetDraft(record) {
    for (const name of Object.keys(localStorage).filter((one) => one.startsWith("draft:"))) {
      const kept = localStorage.getItem(name);
      if (kept.includes(record.key)) localStorage.removeItem(name);
    }
  }

  /** What was typed goes into the line of what waits, and the person is shown so. */
  async function leaveWaiting(record) {
    forgetDraft(record);
    await Tablet.store.put(waitingOf(record));
    location.assign(`${strip().waiting}?kept=${encodeURIComponent(record.key)}`);
  }

  const waitingOf = ({ mended, ...record }) => ({
    ...record, fields: mended || record.fields, state: "waiting", sentences: [], questions: [],
    key_used: false,
  });

  /** Whether the page may go to the book itself: it answers, and to no other person. */
  async function mayGo() {
    if (!navigator.onLine) return false;
    const here = await Tablet.sender.reach();
    return Boolean(here && (here.lost || here.person === strip().person));
  }

  async function submitted(form, button) {
    let record = null;
    try {
      record = await keep(form, button.value);
    } catch (error) {
      await Tablet.strip.note("full", Tablet.store.isFull(error) ? FULL : "");
    }
    if (await mayGo()) return go(form, button);
    if (record) return leaveWaiting(record);
    document.getElementById("tablet").scrollIntoView();
    return undefined;
  }

  /** On to the book, past every listener: it was asked already. */
  function go(form, button) {
    const cookie = document.cookie.match(/(?:^|; )csrftoken=([^;]+)/);
    const token = form.elements.namedItem("csrfmiddlewaretoken");
    if (cookie && token) token.value = cookie[1];
    const step = Tablet.strip.make("input", { type: "hidden", name: "step", value: button.value });
    form.append(step);
    HTMLFormElement.prototype.submit.call(form);
    step.remove();
  }

  async function onSubmit(event) {
    const form = event.target;
    const button = event.submitter;
    if (!form.dataset.operation) return;
    const step = button?.value;
    if (step === "more" && (isKept() || !navigator.onLine)) {
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

  /** The book answered this tab's last page without taking it: it is on the page, not under way. */
  async function answered(form) {
    const posted = form?.dataset.answered;
    const record = posted ? await Tablet.store.get(posted) : undefined;
    if (record?.state === "sending") {
      await Tablet.store.put({ ...record, state: record.was || "draft", since: Date.now() });
    }
  }

  /** The page of an entry that was just recorded says whose key it took. */
  async function taken() {
    const page = document.querySelector("[data-taken]");
    if (page && !isKept()) await Tablet.store.drop(page.dataset.taken);
  }

  /** A page out of the cache: its own key, the time by this tablet, what the address fills in. */
  function freshen(form) {
    key(form).value = Tablet.words.unique();
    const at = form.elements.namedItem("at");
    if (at && strip().zone && at.value === at.defaultValue) {
      at.value = at.defaultValue = Tablet.words.plantTime(strip().zone);
    }
    for (const [name, value] of new URLSearchParams(location.search)) {
      const wanted = name === "vessel" && form.dataset.vesselField ? form.dataset.vesselField : name;
      if (wanted !== "mend") placed(form, wanted, value);
    }
  }

  const NOT_WORKED_OUT = "Without network nothing is worked out here: the book does it, and checks " +
    "it, when the record is sent.";
  const KEPT_HERE = "Without network it is kept on this tablet, and sent later.";

  /** What the page says of the book's own working holds only where the book is reached. */
  function sayKept() {
    const words = (text) => Tablet.strip.make("p", { class: "hint" }, text);
    document.getElementById("live")?.replaceChildren(words(NOT_WORKED_OUT));
    document.querySelector(".step-acts .hint, button.main + .hint")?.replaceWith(words(KEPT_HERE));
  }

  function placed(form, name, value) {
    const [outer, inner] = name.split("-");
    const names = inner ? [name, `${outer}-0-${inner}`] : [name];
    const found = names.find((one) => form.elements.namedItem(one));
    if (found) Tablet.fields.set(form, found, value);
  }

  /** A record that needs a look, back in its own form with what the book said. */
  async function mend(form) {
    const wanted = new URLSearchParams(location.search).get("mend");
    const record = wanted ? await Tablet.store.get(wanted) : undefined;
    if (!record || record.operation !== form.dataset.operation) return;
    if (record.by !== strip().person) return;
    form.dataset.mending = "";
    if (record.key_used) {
      await Tablet.store.drop(record.key);
      record.key = Tablet.words.unique();
      record.key_used = false;
      await Tablet.store.put(record);
    }
    key(form).value = record.key;
    Tablet.fields.fill(form, record.fields);
    showWhy(form, record);
  }

  function showWhy(form, record) {
    const { make } = Tablet.strip;
    const sentences = [...(record.sentences || []), ...(record.questions || []).map((one) => one.text)];
    if (!sentences.length) return;
    const list = make("ul", {}, ...sentences.map((one) => make("li", {}, one)));
    const told = make("div", { class: "problem", role: "alert", tabindex: "-1" },
      make("h2", {}, "What the book said"), list);
    form.before(told);
    told.focus();
  }

  async function start() {
    const form = document.querySelector("form[data-operation]");
    document.addEventListener("submit", onSubmit);
    if (form && isKept()) {
      freshen(form);
      sayKept();
    }
    try {
      await taken();
      await answered(form);
      if (form) await mend(form);
    } catch (error) {
      Tablet.strip.note("store", Tablet.store.isFull(error) ? FULL : "");
    }
  }

  return { start, waitingOf, LAST };
})();
