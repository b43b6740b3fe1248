// Says plainly when a partial request failed: nothing fails in silence.
"use strict";
(() => {
  const bar = document.getElementById("connection");
  if (!bar) return;
  const failed = () => { bar.hidden = false; };
  for (const name of ["htmx:sendError", "htmx:responseError", "htmx:timeout"]) {
    document.addEventListener(name, failed);
  }
  document.addEventListener("htmx:afterRequest", (event) => {
    if (event.detail.successful) bar.hidden = true;
  });
  // A swapped row loses the pressed button; the focus goes to its first error, else to its heading.
  document.addEventListener("htmx:afterSettle", (event) => {
    const target = event.detail.elt;
    if (document.activeElement && document.activeElement !== document.body) return;
    const place = target.querySelector("[aria-invalid='true']") || target.querySelector("[data-focus]");
    if (place) place.focus();
  });
})();
