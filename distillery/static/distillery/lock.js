// Locks a shared tablet that nobody has touched for a while. A page on which something is being
// filled in stays as it is: it is asked who it is when the form is sent. A page gone back to is
// left when another has taken the tablet since, or nobody has.
(function () {
  "use strict";
  var lock = document.querySelector("form[data-lock-after]");
  if (!lock) { return; }
  window.addEventListener("pageshow", function (event) {
    var came = performance.getEntriesByType("navigation")[0];
    if (!event.persisted && !(came && came.type === "back_forward")) { return; }
    var person = document.getElementById("tablet").dataset.person;
    Tablet.book.reach().then(function (here) {
      var isAnother = here.word ? here.word === "log-in" : here.person !== person;
      if (isAnother) { location.replace("/"); }
    });
  });
  var after = Number(lock.dataset.lockAfter) * 60000;
  if (!after) { return; }
  var last = Date.now();
  var filling = false;
  function touched() { last = Date.now(); }
  ["pointerdown", "keydown", "wheel"].forEach(function (name) {
    document.addEventListener(name, touched, { passive: true });
  });
  document.addEventListener("input", function () { filling = true; touched(); });
  function inMidRecord() {
    return filling || document.querySelector("main form input[name='key']") !== null;
  }
  setInterval(function () {
    if (Date.now() - last < after || inMidRecord() || !navigator.onLine) { return; }
    last = Date.now();
    lock.elements.next.value = location.pathname + location.search;
    lock.submit();
  }, 2000);
}());
