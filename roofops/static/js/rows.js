// Opens a folded row in place; without this file the same link opens it by a reload.
"use strict";
document.addEventListener("click", (event) => {
  const link = event.target.closest("[data-unfold]");
  if (!link) return;
  const row = document.getElementById(link.dataset.unfold);
  if (!row) return;
  event.preventDefault();
  row.classList.remove("folded");
  const word = row.querySelector("[data-focus]");
  if (word) word.focus();
});
