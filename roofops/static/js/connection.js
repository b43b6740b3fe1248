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
  // The session has ended: the answer is the sign-in page, which belongs in the window and not into a row.
  document.addEventListener("htmx:beforeSwap", (event) => {
    const answered = new URL(event.detail.xhr.responseURL || location.href);
    if (answered.pathname !== "/sign-in/") return;
    event.detail.shouldSwap = false;
    location.assign(`/sign-in/?next=${encodeURIComponent(location.pathname + location.search)}`);
  });
  // A swapped row loses the pressed button; the focus goes to its first error, to the same button where it is still
  // there, else to its heading.
  let pressed = "";
  document.addEventListener("htmx:beforeRequest", () => { pressed = document.activeElement ? document.activeElement.id : ""; });
  document.addEventListener("htmx:afterSettle", (event) => {
    const target = event.detail.elt;
    if (document.activeElement && document.activeElement !== document.body) return;
    const again = pressed ? document.getElementById(pressed) : null;
    const place = target.querySelector("[aria-invalid='true']") || again || target.querySelector("[data-focus]");
    if (place) place.focus();
  });
})();
