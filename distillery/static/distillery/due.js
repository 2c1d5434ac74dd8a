// How long until the next reading, where the book is not reached and nothing refreshes the page: the
// words would stand still while the still runs on.
"use strict";
(() => {
  const AFTER_MS = 45000, EVERY_MS = 5000; // two refreshes were missed; our own figures
  let told = null, since = 0;
  const minutes = (ms) => {
    const whole = Math.floor(ms / 60000), hours = Math.floor(whole / 60);
    return hours ? `${hours} h ${whole % 60} min` : `${whole} min`;
  };
  const look = () => {
    const words = document.querySelector(".due[data-left]");
    if (words !== told) { told = words; since = Date.now(); }
    const gone = Date.now() - since;
    if (!words || gone < AFTER_MS) return;
    const left = Number(words.dataset.left) * 1000 - gone;
    const next = left > 0 ? `is due in ${minutes(left)}` : `was due ${minutes(-left)} ago`;
    words.textContent = `Not refreshed since ${words.dataset.asOf}. The next reading ${next}, by this tablet's clock.`;
    words.classList.toggle("late", left <= 0);
  };
  look();
  setInterval(look, EVERY_MS);
  document.addEventListener("visibilitychange", look);
})();
