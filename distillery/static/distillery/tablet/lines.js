/* A waiting record as one line: what is sent, and what `manage.py record` reads from a file. */
"use strict";

Tablet.lines = (() => {
  /** The record as the book takes it; the same for the network and for a file. */
  function line(record) {
    const envelope = {
      operation: record.operation, by: record.by, key: record.key, made_for: record.registry,
      device: record.device, made_at: record.made_at,
    };
    if (record.tablet) envelope.tablet = record.tablet;
    if (record.confirm?.length) envelope.confirm = record.confirm;
    return { ...Tablet.fields.nested(record.fields), ...envelope };
  }

  /** Hand *records* to the person as a file of JSON Lines. */
  function save(records) {
    const text = records.map((record) => `${JSON.stringify(line(record))}\n`).join("");
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/jsonl" }));
    link.download = `records-${Tablet.words.stamp().slice(0, 16).replace(/[T:]/g, "-")}.jsonl`;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  }

  return { line, save };
})();
