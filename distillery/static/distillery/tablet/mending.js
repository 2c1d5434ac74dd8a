/* A page that opens: what it says of records on their way, and a waiting record in its own form. */
"use strict";

Tablet.mending = (() => {
  const NOT_WORKED_OUT = "Without network nothing is worked out here: the book does it, and checks " +
    "it, when the record is sent.";
  const KEPT_HERE = "Without network it is kept on this tablet, and sent later.";
  const strip = () => document.getElementById("tablet").dataset;
  const { make } = Tablet.strip;

  /** The book answered this tab's last page without taking it: it is on the page, not under way. */
  async function answered() {
    for (const place of document.querySelectorAll("[data-answered]")) {
      const posted = place.dataset.answered;
      const record = posted ? await Tablet.store.get(posted) : undefined;
      if (record?.state === "sending") {
        await Tablet.store.put({ ...record, state: record.was || "draft", since: Date.now() });
      }
    }
  }

  /** The page of an entry that was just recorded says whose key it took. */
  async function taken() {
    const page = document.querySelector("[data-taken]");
    if (page && !Tablet.form.isKeptPage()) await Tablet.store.drop(page.dataset.taken);
  }

  /** A page out of the cache: its own keys, the time by this tablet, what the address fills in. */
  function freshen(form) {
    Tablet.sheets.keysOf(form).forEach((box) => { box.value = Tablet.words.unique(); });
    const at = form.elements.namedItem("at");
    if (at?.value && strip().zone && at.value === at.defaultValue) {
      at.value = at.defaultValue = Tablet.words.plantTime(strip().zone);
    }
    for (const [name, value] of new URLSearchParams(location.search)) {
      const wanted = name === "vessel" && form.dataset.vesselField ? form.dataset.vesselField : name;
      if (wanted !== "mend") placed(form, wanted, value);
    }
  }

  function placed(form, name, value) {
    const [outer, inner] = name.split("-");
    const names = inner ? [name, `${outer}-0-${inner}`] : [name];
    const found = names.find((one) => form.elements.namedItem(one));
    if (found) Tablet.fields.set(form, found, value);
  }

  /** What the page says of the book's own working holds only where the book is reached. */
  function sayKept() {
    const words = (text) => make("p", { class: "hint" }, text);
    document.getElementById("live")?.replaceChildren(words(NOT_WORKED_OUT));
    document.querySelector(".step-acts .hint, button.main + .hint")?.replaceWith(words(KEPT_HERE));
  }

  /** A key that the book knows for something else: this is another record, under its own. */
  async function withOwnKey(record) {
    if (!record.key_used) return record;
    const own = { ...record, key: Tablet.words.unique(), key_used: false };
    await Tablet.store.put(own);
    await Tablet.store.drop(record.key);
    return own;
  }

  /** A record that needs a look, back in its own form with what the book said. */
  async function mend(form) {
    const wanted = new URLSearchParams(location.search).get("mend");
    const found = wanted ? await Tablet.store.get(wanted) : undefined;
    if (!found || found.operation !== form.dataset.operation) return;
    if (found.by !== strip().person) return;
    form.dataset.mending = "";
    const record = await withOwnKey(found);
    form.elements.namedItem("key").value = record.key;
    Tablet.fields.fill(form, record.fields);
    showWhy(form, record);
  }

  function showWhy(form, record) {
    const sentences = [...(record.sentences || []), ...(record.questions || []).map((one) => one.text)];
    if (!sentences.length) return;
    const list = make("ul", {}, ...sentences.map((one) => make("li", {}, one)));
    const told = make("div", { class: "problem", role: "alert", tabindex: "-1" },
      make("h2", {}, "What the book said"), list);
    form.before(told);
    told.focus();
  }

  async function start() {
    const forms = [...document.querySelectorAll("form[data-operation]")];
    if (forms.length && Tablet.form.isKeptPage()) {
      forms.forEach(freshen);
      sayKept();
    }
    try {
      await taken();
      await answered();
      if (forms.length) await mend(forms[0]);
    } catch (error) {
      if (Tablet.store.isFull(error)) Tablet.strip.note("full", Tablet.form.FULL);
    }
  }

  return { start };
})();
