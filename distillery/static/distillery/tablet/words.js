/* Words and moments: how the tablet counts, tells an age, and writes a time. */
"use strict";
window.Tablet = window.Tablet || {};

Tablet.words = (() => {
  const two = (number) => String(number).padStart(2, "0");

  /** "1 record", "2 records". */
  const count = (number, one, many) => `${number} ${number === 1 ? one : many}`;

  /** A length of time in the largest unit that says it: "5 minutes", "2 hours". */
  function span(ms) {
    const minutes = Math.round(Math.abs(ms) / 60000);
    if (minutes < 90) return count(minutes, "minute", "minutes");
    if (minutes < 48 * 60) return count(Math.round(minutes / 60), "hour", "hours");
    return count(Math.round(minutes / 1440), "day", "days");
  }

  /** How long ago: "just now", "5 minutes ago". */
  function age(then, now = Date.now()) {
    const ms = now - new Date(then).getTime();
    if (ms < -30000) return "later than this tablet's clock";
    return ms < 30000 ? "just now" : `${span(ms)} ago`;
  }

  /** The tablet's own time with its offset: 2026-03-02T09:40:05-05:00. */
  function stamp(now = new Date()) {
    const minutes = -now.getTimezoneOffset();
    const sign = minutes < 0 ? "-" : "+";
    const offset = `${sign}${two(Math.trunc(Math.abs(minutes) / 60))}:${two(Math.abs(minutes) % 60)}`;
    const date = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
    const time = `${two(now.getHours())}:${two(now.getMinutes())}:${two(now.getSeconds())}`;
    return `${date}T${time}${offset}`;
  }

  /** The plant's wall clock as a date and time box takes it: 2026-03-02T09:40. */
  function plantTime(zone, now = new Date()) {
    const parts = new Intl.DateTimeFormat("en-CA", {
      timeZone: zone, year: "numeric", month: "2-digit", day: "2-digit",
      hour: "2-digit", minute: "2-digit", hourCycle: "h23",
    }).formatToParts(now);
    const part = Object.fromEntries(parts.map(({ type, value }) => [type, value]));
    return `${part.year}-${part.month}-${part.day}T${part.hour}:${part.minute}`;
  }

  /** A name no other record has; also where the page is not served by https. */
  function unique() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
  }

  return { count, span, age, stamp, plantTime, unique };
})();
