// On a phone the sections below the drawing begin folded; without this file they stand open one after the other.
"use strict";
if (window.matchMedia("(max-width: 767px)").matches) {
  for (const section of document.querySelectorAll("section[data-fold]")) {
    const head = section.querySelector("h2");
    if (!head) continue;
    const fold = document.createElement("details");
    const summary = document.createElement("summary");
    const wanted = section.querySelector(".wrong, .inline-form .field-error, :target");
    fold.className = "part";
    fold.open = Boolean(wanted);
    summary.append(head);
    fold.append(summary, ...section.childNodes);
    section.append(fold);
  }
}
