// @ts-check
// The detail of a wall is asked for when it is opened, and again when the design has changed while it stands open.

import htmx from "./vendor/htmx.esm.min.js";
import { faultsOf, on } from "./requests.js";
import { text } from "./texts.js";

const place = document.getElementById("deep"), details = place?.querySelector("details");
let shown = "", asked = "";

function ask() {
  const now = document.body.dataset.seen ?? "";
  if (!place || !details?.open || now === shown) return;
  asked = now;
  say(text("detailWorking"));
  htmx.trigger(place, "detail");
}

/** @param {string} message */
function say(message) {
  const status = place?.querySelector("[role=status]");
  if (status) status.textContent = message;
}

if (place && details) {
  details.addEventListener("toggle", ask);
  document.addEventListener("design:changed", ask);
  on("after:swap", ({ sourceElement, response }) => {
    if (sourceElement !== place || !response?.raw.ok) return;
    shown = asked;
    say("");
    ask();
  });
  on("response:error", (context) => {
    if (context.sourceElement !== place) return;
    const faults = faultsOf(context, text("failedEdit")).map((fault) => fault.says).join(" ");
    say(shown ? `${faults} ${text("detailRefused")}` : faults);
  });
  on("error", ({ sourceElement }) => { if (sourceElement === place) say(text("noAnswerDetail")); });
  if (details.open) ask();
}
