// Gives each opening of a report form its own id: a double tap sends one report, a corrected one is a new report.
"use strict";
(() => {
  const renew = () => {
    if (!window.crypto || !crypto.randomUUID) return;
    for (const field of document.querySelectorAll("[data-client-uuid]")) field.value = crypto.randomUUID();
  };
  renew();
  window.addEventListener("pageshow", (event) => { if (event.persisted) renew(); });
  // A second tap while the first is on its way does nothing; the button says so.
  document.addEventListener("submit", (event) => {
    const button = event.submitter || event.target.querySelector("button");
    if (button) window.setTimeout(() => { button.disabled = true; }, 0);
  });
  window.addEventListener("pageshow", () => {
    for (const button of document.querySelectorAll(".report-form button[disabled]")) button.disabled = false;
  });
})();
