/* A form's boxes and a record's fields: read from the one, written as the other, filled back. */
"use strict";

Tablet.fields = (() => {
  const OF_THE_PAGE = new Set(["csrfmiddlewaretoken", "step", "digest", "confirm", "key", "asked_once"]);

  /** Whether *box* is of the record, and not of the page around it. */
  const isOfRecord = (box) =>
    Boolean(box.name) && !OF_THE_PAGE.has(box.name) && !box.closest("[data-aside]");

  /** A line end as a form sends it, so that the same record is the same text either way. */
  const sentAs = (text) => text.replace(/\r?\n/g, "\r\n");

  /** [name, value] of every box that holds something; a tick is true. */
  function read(form) {
    const found = [];
    for (const box of form.elements) {
      if (!isOfRecord(box) || box.disabled) continue;
      if (box.type === "checkbox") {
        if (box.checked) found.push([box.name, true]);
      } else if (box.type === "radio") {
        if (box.checked) found.push([box.name, box.value]);
      } else if (box.type === "hidden" && box.value === "on") {
        found.push([box.name, true]); // a tick, carried by the page that is looked over
      } else if (box.value !== "" && box.type !== "submit" && box.type !== "button") {
        found.push([box.name, sentAs(box.value)]);
      }
    }
    return found;
  }

  const labelOf = (box) => {
    const label = box.id ? document.querySelector(`label[for="${CSS.escape(box.id)}"]`) : null;
    return (label || box).textContent.replace("(optional)", "").replace(/\s+/g, " ").trim();
  };

  /** [label, words] of every box that a person filled in, for the list of what waits. */
  function told(form) {
    const found = [];
    for (const box of form.elements) {
      if (!isOfRecord(box) || box.type === "hidden" || !box.value) continue;
      if (box.type === "submit" || box.type === "button") continue;
      if (box.type === "radio" || box.type === "checkbox") {
        if (box.checked) found.push([labelOf(box), "yes"]);
      } else {
        const words = box.selectedOptions ? box.selectedOptions[0].textContent : box.value;
        found.push([labelOf(box), words.trim().replace("T", box.type === "datetime-local" ? " " : "T")]);
      }
    }
    return found;
  }

  const isBlank = (row) => Object.values(row).every((value) => String(value).trim() === "");

  // A tick inside a part is "on" there, as the page itself sends it.
  const inPart = (value) => (value === true ? "on" : value);

  /** The named fields of a record: `a-b` is b in the part a, `a-0-b` is b in row 0 of a. */
  function nested(pairs) {
    const record = {};
    const rows = {};
    for (const [name, value] of pairs) {
      const row = name.match(/^([^-]+)-(\d{1,4})-(.+)$/);
      const part = name.match(/^([^-]+)-(.+)$/);
      if (row) {
        const list = (rows[row[1]] ||= {});
        (list[Number(row[2])] ||= {})[row[3]] = inPart(value);
      } else if (part) {
        (record[part[1]] ||= {})[part[2]] = inPart(value);
      } else {
        record[name] = value;
      }
    }
    for (const [name, list] of Object.entries(rows)) {
      const numbers = Object.keys(list).map(Number).sort((one, other) => one - other);
      const filled = numbers.map((number) => list[number]).filter((one) => !isBlank(one));
      if (filled.length) record[name] = filled;
    }
    return record;
  }

  const boxesOf = (form, name) => [...form.elements].filter((box) => box.name === name);

  /** One more row like the last of *name*, empty. Returns whether there was one to go by. */
  function addRow(form, name) {
    const rows = [...form.querySelectorAll(".rows")].filter((one) =>
      [...one.querySelectorAll("[name]")].some((box) => box.name.startsWith(`${name}-`)));
    const last = rows.at(-1);
    const number = last?.querySelector("[name]").name.match(/-(\d+)-/)?.[1];
    if (number === undefined) return false;
    const row = last.cloneNode(true);
    const next = String(Number(number) + 1);
    row.setAttribute("aria-label", row.getAttribute("aria-label").replace(/\d+$/, rows.length + 1));
    for (const one of row.querySelectorAll("[name], [id], [for], [aria-describedby]")) {
      for (const at of ["name", "id", "for", "aria-describedby"]) {
        if (one.hasAttribute(at)) one.setAttribute(at, one.getAttribute(at).replaceAll(
          `${name}-${number}-`, `${name}-${next}-`));
      }
      if (one.name) empty(one);
    }
    row.querySelectorAll(".wrong").forEach((one) => one.remove());
    last.after(row);
    return true;
  }

  function empty(box) {
    if (box.type === "checkbox" || box.type === "radio") box.checked = false;
    else if (box.selectedOptions) box.selectedIndex = 0;
    else box.value = "";
  }

  function hidden(form, name) {
    const box = document.createElement("input");
    box.type = "hidden";
    box.name = name;
    form.append(box);
    return box;
  }

  /** Write *value* where *form* takes it; a list gets the option it lacks. */
  function set(form, name, value) {
    let boxes = boxesOf(form, name);
    for (let tries = 0; !boxes.length && tries < 200; tries += 1) {
      const rows = name.match(/^([^-]+)-\d{1,4}-/);
      if (!rows || !addRow(form, rows[1])) break;
      boxes = boxesOf(form, name);
    }
    const box = boxes[0] || hidden(form, name);
    box.closest("details")?.setAttribute("open", "");
    if (box.type === "checkbox") {
      box.checked = Boolean(value);
    } else if (box.type === "radio") {
      boxes.forEach((one) => { one.checked = one.value === value; });
    } else {
      const known = !box.options || [...box.options].some((one) => one.value === value);
      if (!known) box.add(new Option(value, value));
      box.value = value === true ? "on" : value;
    }
  }

  /** Put the fields of a record back into its form. */
  function fill(form, pairs) {
    for (const box of form.elements) {
      if (isOfRecord(box) && box.type !== "hidden" && box.type !== "submit") {
        empty(box);
      }
    }
    pairs.forEach(([name, value]) => set(form, name, value));
  }

  return { read, told, labelOf, nested, fill, set, addRow };
})();
