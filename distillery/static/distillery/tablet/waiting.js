/* The page of what waits: each record with what was typed, what the book said, and what to do. */
"use strict";

Tablet.waiting = (() => {
  const { make } = Tablet.strip;
  const page = () => document.getElementById("waiting");
  const person = () => document.getElementById("tablet").dataset.person;

  const STATES = {
    waiting: "Waits to be sent. The book checks it then.",
    sending: "On its way.",
    look: "Needs a look.",
  };

  function stateOf(record) {
    if (person() && record.by !== person()) return `Waits for ${record.by} to log in here.`;
    if (record.closed) return "Needs a look: it belongs to a closed month.";
    return STATES[record.state];
  }

  function factsOf(record) {
    const list = make("dl", { class: "facts" });
    record.told.forEach(([label, words]) => list.append(make("dt", {}, label), make("dd", {}, words)));
    return list;
  }

  function button(words, act, kind = "") {
    const made = make("button", { type: "button", class: kind }, words);
    made.addEventListener("click", act);
    return made;
  }

  function questionsOf(record) {
    return record.questions.map(({ code, text }) => {
      const id = `${record.key}-${code}`;
      const box = make("input", { type: "checkbox", id, value: code });
      return make("div", { class: "question" },
        make("label", { class: "tick", for: id }, box, make("span", {}, `Yes: ${text}`)));
    });
  }

  async function sendAgain(record, section) {
    const yes = [...section.querySelectorAll("input:checked")].map((box) => box.value);
    const confirm = [...new Set([...(record.confirm || []), ...yes])];
    await Tablet.store.put({ ...Tablet.form.waitingOf(record), confirm, closed: false });
    Tablet.sender.now();
  }

  async function takeOff(record) {
    Tablet.lines.save([record]);
    await Tablet.store.drop(record.key);
  }

  function actsOf(record, section) {
    const acts = make("div", { class: "acts" });
    const isOwn = record.by === person() || !person();
    if (isOwn) {
      const mend = `/record/${record.operation}/?mend=${encodeURIComponent(record.key)}`;
      acts.append(make("a", { class: "button", href: mend },
        record.state === "look" ? "Mend it" : "Change it"));
    }
    if (isOwn && record.state === "look") {
      acts.append(button("Send again", () => sendAgain(record, section)));
    }
    const off = make("details", {}, make("summary", {}, "Take it off this tablet"),
      make("p", {}, "Saves it to a file first, then takes it off. It is not in the book."),
      button("Save and take off", () => takeOff(record)));
    return [acts, off];
  }

  function sectionOf(record, number) {
    const id = `waiting-${number}`;
    const section = make("section", { class: `waiting-record ${record.state}`, "aria-labelledby": id });
    const made = `Made ${record.made_at.slice(0, 16).replace("T", " ")} by ${record.by}.`;
    section.append(make("h2", { id }, `${number}. ${record.title}`),
      make("p", { class: "state" }, stateOf(record)), make("p", { class: "hint" }, made));
    if (record.state === "look") {
      const said = make("ul", { class: "said" });
      (record.sentences || []).forEach((one) => said.append(make("li", {}, one)));
      if (said.childElementCount) section.append(said);
      section.append(...questionsOf({ ...record, questions: record.questions || [] }));
    }
    section.append(factsOf(record), ...actsOf(record, section));
    return section;
  }

  function sentOf(sent) {
    if (!sent?.length) return [];
    const list = make("ul", {});
    for (const one of sent) {
      const when = one.at.slice(0, 16).replace("T", " ");
      const item = make("li", {}, `${one.title}, ${when}: `);
      item.append(one.entry ? make("a", { href: `/book/${one.entry}/` }, `№ ${one.entry}`) : "kept");
      list.append(item);
    }
    return [make("h2", {}, "Sent from this tablet"), list];
  }

  async function aboutStorage() {
    if (!window.isSecureContext) {
      return "This address is not https, so the browser opens nothing without network.";
    }
    const isKept = await navigator.storage?.persisted?.();
    return isKept
      ? "The browser keeps what waits until it is sent."
      : "The browser may clear what waits when its disk runs full. Send soon, or save to a file.";
  }

  const shownOf = (records) => JSON.stringify([records, person()]);

  async function draw() {
    const place = page();
    const records = await Tablet.store.line();
    const sent = await Tablet.store.fact("sent");
    const shown = shownOf([records, sent]);
    if (place.dataset.shown === shown) return;
    place.dataset.shown = shown;
    const list = records.map((record, index) => sectionOf(record, index + 1));
    const save = button("Save all to a file", () => Tablet.lines.save(records));
    const top = records.length
      ? [make("div", { class: "acts" }, button("Send now", () => Tablet.sender.now(), "main"), save)]
      : [make("p", {}, "Nothing waits on this tablet.")];
    const about = make("p", { class: "hint" }, await aboutStorage());
    place.replaceChildren(...top, ...list, ...sentOf(sent), about);
  }

  /** The page came in place of an answer: what this tab sent last is not in the book yet. */
  async function unsent() {
    const key = sessionStorage.getItem(Tablet.form.LAST);
    const record = key ? await Tablet.store.get(key) : undefined;
    if (record && record.state !== "look") await Tablet.store.put(Tablet.form.waitingOf(record));
  }

  async function told() {
    const query = new URLSearchParams(location.search);
    if (query.has("unsent")) await unsent();
    if (query.has("kept") || query.has("unsent")) {
      await Tablet.strip.note("done", "Saved on this tablet, not sent yet.");
      history.replaceState(null, "", location.pathname);
      Tablet.sender.now();
    }
  }

  async function start() {
    if (!page()) return;
    Tablet.store.onChange(draw);
    await told();
    await draw();
  }

  return { start };
})();
