// Shows only the part of the roof form that the choice asks for; without a script all parts stand below each other.
"use strict";
(() => {
  const form = document.querySelector("[data-roof-form]");
  if (!form) return;
  const show = () => {
    const chosen = form.querySelector("input[name='job-roof_from']:checked");
    for (const part of form.querySelectorAll("[data-roof]")) {
      part.hidden = !(chosen && part.dataset.roof.split(" ").includes(chosen.value));
    }
  };
  form.addEventListener("change", show);
  show();
})();
