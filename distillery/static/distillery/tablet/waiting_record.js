/* One waiting record on its page: what was typed, what the book said, and what to do about it. */
"use strict";

Tablet.waitingRecord = (() => {
  const { make } = Tablet.strip;
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
    await Tablet.store.put({ ...Tablet.keeping.waitingOf(record), confirm, closed: false });
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

  return { sectionOf, button };
})();
