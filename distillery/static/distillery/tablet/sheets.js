/* What a form holds as records: most hold one; a round of readings holds one for each row. */
"use strict";

Tablet.sheets = (() => {
  const OF_A_ROW = new Set(["key", "confirm"]);

  const ticked = (place) =>
    [...place.querySelectorAll("input[type=checkbox]:checked")]
      .filter((box) => /(^|-)confirm$/.test(box.name)).map((box) => box.value);

  const boxesIn = (row) => [...row.querySelectorAll("input[name]")];
  const nameIn = (row, box) => box.name.slice(row.dataset.row.length + 1);

  /** One row of a round: its vessel, the moment of the round, and the figures typed for it. */
  function ofRow(form, row) {
    const at = form.elements.namedItem("at");
    const figures = boxesIn(row).filter((box) => !OF_A_ROW.has(nameIn(row, box)) && box.value.trim());
    if (!figures.length) return null;
    return {
      box: boxesIn(row).find((box) => nameIn(row, box) === "key"),
      operation: form.dataset.operation,
      title: `${form.dataset.title}: ${row.dataset.row}`,
      fields: [["vessel", row.dataset.row], ["at", at.value],
        ...figures.map((box) => [nameIn(row, box), box.value.trim()])],
      told: [["When", at.value.replace("T", " ")],
        ...figures.map((box) => [Tablet.fields.labelOf(box), box.value.trim()])],
      ticked: ticked(row), isPreview: false, isMending: false, answered: "",
    };
  }

  const ofForm = (form) => ({
    box: form.elements.namedItem("key"),
    operation: form.dataset.operation,
    title: form.dataset.title,
    fields: Tablet.fields.read(form),
    told: Tablet.fields.told(form),
    ticked: ticked(form),
    isPreview: "preview" in form.dataset,
    isMending: "mending" in form.dataset,
    answered: form.dataset.answered || "",
  });

  const rowsOf = (form) => [...form.querySelectorAll("[data-row]")];

  /** The sheets of *form*, those that hold nothing left out. */
  const of = (form) =>
    "rows" in form.dataset ? rowsOf(form).map((row) => ofRow(form, row)).filter(Boolean)
      : [ofForm(form)];

  /** Every box of *form* that holds the key of a record. */
  const keysOf = (form) =>
    [...form.elements].filter((box) => box.type === "hidden" && /(^|-)key$/.test(box.name));

  return { of, keysOf };
})();
