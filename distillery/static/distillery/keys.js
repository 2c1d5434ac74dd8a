// The digits of our own page, for wet and gloved hands; typing works as well. They show once
// this script hears them: a digit tapped before would be lost.
(function () {
  "use strict";
  var form = document.querySelector("[data-keys]");
  if (!form) { return; }
  var code = form.elements.code;
  form.addEventListener("click", function (event) {
    var key = event.target.closest("[data-key]");
    if (!key) { return; }
    if (key.dataset.key === "clear") { code.value = ""; }
    else if (key.dataset.key === "back") { code.value = code.value.slice(0, -1); }
    else { code.value += key.dataset.key; }
  });
  form.querySelector(".pad").hidden = false;
}());
