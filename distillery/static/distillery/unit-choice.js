// The unit printed beside a box, to be switched: what is chosen is written into the value, so that
// the server reads one text like "1000 L". A bare number stays in the unit the server printed.
// What a hand chose for a field is there the next time on this tablet.
"use strict";
window.unitChoice = (() => {
  const UNITS = {
    volume: ["gal", "L"], weight: ["lb", "kg"], small_weight: ["g", "oz", "lb", "kg"],
    amount: ["its unit", "lb", "kg", "g", "gal"], temperature: ["°F", "°C"],
    gravity: ["SG", "°Bx", "°P"], proof: ["proof", "% ABV"], time: ["min", "h"],
  };
  const BARE = /^[+-]?\s*[0-9.,]+$/;
  const boxes = new Map();

  const bare = (text) => text.replace(/\s*[^0-9.,\s+-][^0-9.,]*$/, "");
  const settled = (box, text) => {
    const choice = boxes.get(box);
    const unit = choice && choice.value;
    return unit && unit !== box.dataset.unit && BARE.test(text.trim())
      ? `${text.trim()} ${unit}` : text;
  };
  const settle = (box) => {
    const value = settled(box, box.value);
    if (value !== box.value) box.value = value;
  };
  const follow = (box) => {
    const choice = boxes.get(box);
    const typed = box.value.trim().match(/[^0-9.,\s+-].*$/);
    const found = typed && [...choice.options].find(
      (one) => one.value.replace("°", "").toLowerCase() === typed[0].replace("°", "").toLowerCase());
    if (found) choice.value = found.value;
    return Boolean(found);
  };
  const keyOf = (box) => `unit:${box.form?.dataset.keep}:${box.name.replace(/-\d+-/, "-")}`;
  // The unit of a material is its own: a bag in kilograms says nothing of the next box of corks.
  const isRemembered = (box) => box.form?.dataset.keep && box.dataset.kind !== "amount";
  const remember = (box) => {
    if (!isRemembered(box)) return;
    try { localStorage.setItem(keyOf(box), boxes.get(box).value); } catch { /* chosen again then */ }
  };
  const remembered = (box) => {
    try { return isRemembered(box) ? localStorage.getItem(keyOf(box)) : null; } catch { return null; }
  };
  // A number without a unit that is in the box already was meant in the unit the server prints.
  const begin = (box) => {
    const choice = boxes.get(box);
    const usual = [remembered(box), box.dataset.prefer, box.dataset.unit];
    const known = [...choice.options].map((one) => one.value);
    choice.value = box.value.trim() ? box.dataset.unit : usual.find((one) => known.includes(one));
    follow(box);
  };

  const offer = (box) => {
    const units = UNITS[box.dataset.kind];
    const printed = box.parentElement.querySelector(".unit");
    if (!units || !printed || !units.includes(box.dataset.unit)) return;
    const choice = document.createElement("select");
    choice.className = "unit-choice";
    const label = box.labels[0] ? box.labels[0].innerText.replace(/\s+/g, " ").trim() : box.name;
    choice.setAttribute("aria-label", `Unit of ${label}`);
    for (const unit of units) choice.add(new Option(unit, unit));
    printed.replaceWith(choice);
    boxes.set(box, choice);
    begin(box);
    choice.addEventListener("change", () => {
      box.value = bare(box.value);
      settle(box);
      remember(box);
      box.dispatchEvent(new Event("input", { bubbles: true }));
    });
    box.addEventListener("change", () => { if (follow(box)) remember(box); settle(box); });
    box.form?.addEventListener("restored", () => begin(box));
  };

  document.querySelectorAll("input.quantity[data-kind]").forEach(offer);
  document.addEventListener("submit", () => boxes.forEach((_, box) => settle(box)), true);
  return { settled, bare, of: (box) => boxes.get(box) };
})();
