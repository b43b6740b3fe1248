// A page that comes back with errors: the first field in error gets the focus, and its fold opens.
"use strict";
document.addEventListener("DOMContentLoaded", () => {
  const wrong = document.querySelector("main [aria-invalid='true']");
  if (!wrong) return;
  const fold = wrong.closest("details");
  if (fold) fold.open = true;
  wrong.focus();
});
