/* This tablet's clock against the book's: a record without network takes its time from it. */
"use strict";

Tablet.clock = (() => {
  const WRONG = 5 * 60000;
  let ahead = 0; // ms, as of the last answer of the book

  const isWrong = () => Math.abs(ahead) > WRONG;

  function sentence() {
    if (!isWrong()) return "";
    return `This tablet's clock is ${Tablet.words.span(ahead)} ${ahead > 0 ? "ahead of" : "behind"} ` +
      "the book's. Set it: what is recorded without network takes its time from it.";
  }

  /** The book said that it is *now* there. */
  function heard(now) {
    const there = Date.parse(now);
    if (Number.isNaN(there)) return;
    ahead = Date.now() - there;
    Tablet.strip.note("clock", sentence());
  }

  /** Now, by the book's clock as far as this page has heard it. */
  const now = () => new Date(Date.now() - ahead);

  return { heard, now };
})();
