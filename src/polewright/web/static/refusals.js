// @ts-check
// A refused edit: what was typed stays, the fault is said beside it, and the first one is brought into sight.

import { clearFault, putBeside, sentence } from "./faults.js";
import { editOf, markRefused } from "./edits.js";
import { faultsOf, on, refresh } from "./requests.js";
import { showStatus, text } from "./texts.js";

/** @typedef {import("./requests.js").Fault} Fault */
/** @typedef {import("./edits.js").Edit} Edit */

on("response:error", (context) => {
  const edit = editOf(context);
  if (!edit) return;
  markRefused();
  const faults = faultsOf(context, text("failedEdit"));
  if (!faults.some((fault) => fault.field === "page")) return showFaults(edit, faults);
  if (edit.from.matches("input[data-path]")) edit.from.setAttribute("aria-invalid", "true");    // keeps what was typed
  const isShown = refresh().then(() => showFaults(edit, faults));
  Object.assign(context, { extensionPromise: isShown });    // htmx sends the next edit when this one's page is in place
});

/** @param {Edit} edit @param {Fault[]} faults */
function showFaults({ fields, from }, faults) {
  clearFault(from);
  const rest = [];
  for (const fault of faults) {
    const own = from instanceof HTMLFormElement && from.elements.namedItem(fault.field.split(".").pop() ?? "");
    const isNamed = own instanceof HTMLElement && own.getAttribute("type") !== "hidden" && from.isConnected;
    if (isNamed) putBeside(own, sentence(own, fault));
    else rest.push(isAbout(fault, fields) && from.isConnected ? sentence(from, fault) : fault.says);
  }
  const field = fields.path ? document.querySelector(`[data-path="${fields.path}"]`) : from;
  if (rest.length && field instanceof HTMLElement && field.isConnected) putBeside(field, rest.join(" "));
  if (from instanceof HTMLFormElement) focusFirst(from);
  showStatus(text("refused"));
  document.querySelector("[aria-invalid]")?.scrollIntoView({ block: "nearest" });
  document.querySelector("#place .fault:not(:empty)")?.scrollIntoView({ block: "nearest" });
}

/** Is a fault about the field that was edited, or about the text just typed there? @param {Fault} fault @param {Record<string, string>} fields */
function isAbout(fault, fields) {
  const isTyped = fault.value === `'${fields.text}'` || fault.value.startsWith(`'${fields.text} `);
  const isNear = isTyped && fields.path?.startsWith(`${fault.field}.`);
  return fault.field !== "" && (fault.field === fields.path || isNear);
}

/** @param {HTMLFormElement} form */
export function focusFirst(form) {
  const field = form.querySelector("[aria-invalid]");
  if (field instanceof HTMLElement) field.focus();
}
