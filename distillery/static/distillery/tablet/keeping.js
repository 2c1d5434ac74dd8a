/* From what a form holds to the record that the tablet keeps of it, before anything is sent. */
"use strict";

Tablet.keeping = (() => {
  const LAST = "plant-book-last"; // the keys that this tab sent last
  const strip = () => document.getElementById("tablet").dataset;
  const waits = (known) => Boolean(known) && (known.state === "waiting" || known.state === "look");

  /** The record that *sheet* holds now, on top of what is known of it from an earlier page. */
  async function recordOf(sheet, known) {
    return {
      ...known,
      key: sheet.box.value,
      operation: sheet.operation,
      title: sheet.title,
      by: strip().person,
      registry: strip().registry,
      tablet: strip().tablet || "",
      device: await Tablet.store.device(),
      made_at: known?.made_at || Tablet.words.stamp(),
      fields: sheet.fields,
      told: sheet.isPreview && known ? known.told : sheet.told,
      confirm: [...new Set([...((!sheet.isPreview && known?.confirm) || []), ...sheet.ticked])],
    };
  }

  /** Whether *sheet* is where the waiting *known* is mended: opened so, or the book's answer to it. */
  const isMending = (sheet, known) =>
    sheet.isMending || Boolean(known.mended && sheet.answered === known.key);

  /** A page gone back to holds the key of a record that waits: what differs is another record. */
  async function knownOf(sheet) {
    const known = await Tablet.store.get(sheet.box.value);
    if (!waits(known) || isMending(sheet, known) || sheet.isPreview) return known;
    if (JSON.stringify(known.fields) === JSON.stringify(sheet.fields)) return known;
    sheet.box.value = Tablet.words.unique();
    return undefined;
  }

  /** Keep what *sheet* holds, as a draft or as on its way. Returns the record. */
  async function keep(sheet, step) {
    const known = await knownOf(sheet);
    const record = await recordOf(sheet, known);
    if (step === "preview") {
      // What waits already stays as it was until its mended form is confirmed.
      return Tablet.store.put(waits(known)
        ? { ...known, mended: record.fields, told: record.told, confirm: record.confirm }
        : { ...record, state: "draft", since: Date.now() });
    }
    const was = waits(known) ? known.state : "draft";
    return Tablet.store.put({ ...record, state: "sending", was, since: Date.now() });
  }

  async function keepAll(form, step) {
    const records = [];
    for (const sheet of Tablet.sheets.of(form)) records.push(await keep(sheet, step));
    sessionStorage.setItem(LAST, JSON.stringify(records.map((one) => one.key)));
    return records;
  }

  const waitingOf = ({ mended, ...record }) => ({
    ...record, fields: mended || record.fields, state: "waiting", sentences: [], questions: [],
    key_used: false,
  });

  return { keepAll, waitingOf, LAST };
})();
