/* The strip under the top of every page: what waits on this tablet, in words. */
"use strict";

Tablet.strip = (() => {
  const STATUS = {
    "sending": "Sending now.",
    "no-network": "No network: they are sent when it is back.",
    "slow": "The book is slow to answer: they are sent again by themselves.",
    "log-in": "Log in to send them.",
    "not-ours": "This network answers in place of the book, as a Wi-Fi log-in page does: they are sent " +
      "when the book is reached.",
    "broken": "The book does not answer as it should: they are sent later.",
    "full": "This tablet's storage is full. Save what waits to a file.",
    "no-store": "This browser keeps nothing here: leave private browsing to record offline.",
  };
  const notes = new Map();
  const strip = () => document.getElementById("tablet");

  /** An element with text and children; nothing is ever written as markup. */
  function make(name, attributes = {}, ...inside) {
    const made = document.createElement(name);
    Object.entries(attributes).forEach(([key, value]) => made.setAttribute(key, value));
    made.append(...inside);
    return made;
  }

  function told(records, person) {
    const looks = records.filter((one) => one.state === "look").length;
    const others = [...new Set(records.map((one) => one.by).filter((by) => by !== person))];
    const words = [`${Tablet.words.count(records.length, "record waits", "records wait")} on this tablet.`];
    if (looks) words.push(`${looks} ${looks === 1 ? "needs" : "need"} a look.`);
    if (person && others.length) words.push(`Made by ${others.join(" and ")}, who logs in to send.`);
    return words;
  }

  /** Records that a person has to know of: those on the way count once they are late. */
  const inSight = (records) =>
    records.filter((one) => one.state !== "sending" || Math.abs(Date.now() - one.since) > 20000);

  async function draw() {
    const place = strip();
    if (!place) return;
    let records = [];
    try {
      records = inSight(await Tablet.store.line());
    } catch {
      notes.set("store", STATUS["no-store"]);
    }
    const words = records.length ? told(records, place.dataset.person) : [];
    const status = STATUS[Tablet.sender.status()];
    if (status && records.length) words.push(status);
    const lines = [...notes.values()].map((note) => make("p", {}, note));
    if (words.length) lines.unshift(waitingLine(words, place));
    const text = lines.map((one) => one.textContent).join("\n");
    place.hidden = !lines.length;
    if (place.dataset.shown === text) return;
    place.dataset.shown = text;
    place.replaceChildren(...lines);
  }

  function waitingLine(words, place) {
    const line = make("div", { class: "strip-line" }, make("p", {}, words.join(" ")));
    const acts = make("div", { class: "acts" });
    const status = Tablet.sender.status();
    if (status === "log-in" || (!status && !place.dataset.person)) {
      const next = encodeURIComponent(location.pathname);
      acts.append(make("a", { class: "button", href: `${place.dataset.login}?next=${next}` }, "Log in"));
    }
    if (!document.getElementById("waiting")) {
      acts.append(make("a", { class: "button", href: place.dataset.waiting }, "See what waits"));
    }
    const send = make("button", { type: "button" }, "Send now");
    send.addEventListener("click", () => Tablet.sender.now());
    acts.append(send);
    line.append(acts);
    return line;
  }

  /** A sentence that stays in the strip until it is taken back by an empty one. */
  function note(name, text) {
    if (text) notes.set(name, text);
    else notes.delete(name);
    return draw();
  }

  function start() {
    const kept = document.documentElement.dataset.kept;
    if (kept) {
      notes.set("kept", `There was no network. This page and its lists are as they were kept ` +
        `${Tablet.words.age(kept)}. What you record waits on this tablet, and the book checks ` +
        "it when it is sent.");
    }
    Tablet.store.onChange(draw);
    Tablet.sender.onStatus(draw);
    draw();
  }

  return { start, draw, note, make, has: (name) => notes.has(name) };
})();
