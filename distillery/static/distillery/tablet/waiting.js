/* The page of what waits, in the order in which it is sent, and of what was sent. */
"use strict";

Tablet.waiting = (() => {
  const { make } = Tablet.strip;
  const { sectionOf, button } = Tablet.waitingRecord;
  const NO_STORE = "This browser keeps nothing here, so nothing waits: leave private browsing to record " +
    "without network.";
  const page = () => document.getElementById("waiting");
  const person = () => document.getElementById("tablet").dataset.person;

  function sentOf(sent) {
    if (!sent?.length) return [];
    const list = make("ul", {});
    for (const one of sent) {
      const when = one.at.slice(0, 16).replace("T", " ");
      const item = make("li", {}, `${one.title}, ${when}: `);
      item.append(one.entry ? make("a", { href: `/book/${one.entry}/done/` }, `№ ${one.entry}`) : "kept");
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

  /** What was ticked or opened stays so when the page is drawn anew. */
  function replace(place, parts) {
    const ticked = [...place.querySelectorAll("input:checked")].map((box) => box.id);
    place.replaceChildren(...parts);
    ticked.forEach((id) => { if (document.getElementById(id)) document.getElementById(id).checked = true; });
  }

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
    replace(place, [...top, ...list, ...sentOf(sent), about]);
  }

  /** The page came in place of an answer: what this tab sent last is not in the book yet. */
  async function unsent() {
    for (const key of JSON.parse(sessionStorage.getItem(Tablet.keeping.LAST) || "[]")) {
      const record = await Tablet.store.get(key);
      if (record && record.state !== "look") await Tablet.store.put(Tablet.keeping.waitingOf(record));
    }
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
    try {
      await told();
      await draw();
    } catch {
      page().replaceChildren(make("p", {}, NO_STORE));
    }
  }

  return { start };
})();
