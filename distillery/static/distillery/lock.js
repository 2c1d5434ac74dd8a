// Locks a shared tablet that nobody has touched for a while. A page on which something is being
// filled in stays as it is: it is asked who it is when the form is sent.
(function () {
  "use strict";
  var lock = document.querySelector("form[data-lock-after]");
  if (!lock) { return; }
  var after = Number(lock.dataset.lockAfter) * 60000;
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
