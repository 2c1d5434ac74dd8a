/* The order in which the parts begin on every page. */
"use strict";

Tablet.strip.start();
Tablet.leaving.start();
Tablet.form.start();
Tablet.mending.start().then(() => {
  Tablet.waiting.start();
  Tablet.sender.start();
  Tablet.install.start();
});
