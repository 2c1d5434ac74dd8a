/* Leaving: signing out waits for what is not sent yet, unless it was saved to a file. */
"use strict";

Tablet.leaving = (() => {
  const { make } = Tablet.strip;
  const person = () => document.getElementById("tablet")?.dataset.person;
  const own = async () => (await Tablet.store.line()).filter((one) => one.by === person());

  function stop(form, records) {
    document.getElementById("leaving")?.remove();
    const place = document.getElementById("tablet").dataset;
    const save = make("button", { type: "button" }, "Save to a file");
    const leave = make("button", { type: "button", hidden: "" }, "Log out now");
    save.addEventListener("click", () => {
      Tablet.lines.save(records);
      leave.hidden = false;
    });
    leave.addEventListener("click", () => go(form));
    const words = Tablet.words.count(records.length, "record of yours waits", "records of yours wait");
    const told = make("section", { id: "leaving", class: "problem leaving", role: "alert", tabindex: "-1" },
      make("h2", {}, "Not logged out"),
      make("p", {}, `${words} on this tablet. Send first, or save to a file; what is saved stays ` +
        "here too, and is sent when you log in again."),
      make("div", { class: "acts" },
        make("a", { class: "button", href: place.waiting }, "See what waits"), save, leave));
    document.getElementById("content").prepend(told);
    told.focus();
  }

  /** On to the book, past every listener: it was asked already. */
  const go = (form) => HTMLFormElement.prototype.submit.call(form);

  async function onSubmit(event) {
    const form = event.target;
    if (!form.action.endsWith(document.getElementById("tablet")?.dataset.logOut || "\n")) return;
    event.preventDefault();
    let records = [];
    try {
      records = await own();
    } catch {
      // A browser that keeps nothing has nothing that waits.
    }
    if (records.length) stop(form, records);
    else go(form);
  }

  return { start: () => document.addEventListener("submit", onSubmit) };
})();
