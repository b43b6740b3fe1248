// Stores the choice of light or dark in a cookie, so that the next page comes in it from the server, without a flash.
"use strict";
(() => {
  const NAME = "roofops-theme";
  const YEAR_S = 31536000;
  const choice = document.querySelector("[data-theme-choice]");
  if (!choice) return;
  choice.hidden = false;

  const show = () => {
    const current = document.documentElement.dataset.theme || "";
    for (const button of choice.querySelectorAll("[data-theme-value]")) {
      const chosen = button.dataset.themeValue === current;
      button.setAttribute("aria-pressed", String(chosen));
      button.classList.toggle("button-primary", chosen);
    }
  };

  choice.addEventListener("click", (event) => {
    const button = event.target.closest("[data-theme-value]");
    if (!button) return;
    const value = button.dataset.themeValue;
    const secure = location.protocol === "https:" ? "; Secure" : "";
    document.cookie = `${NAME}=${value}; Path=/; Max-Age=${value ? YEAR_S : 0}; SameSite=Lax${secure}`;
    if (value) document.documentElement.dataset.theme = value;
    else delete document.documentElement.dataset.theme;
    show();
  });
  show();
})();
