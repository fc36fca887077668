// @ts-check
// What is wrong with a hold, beside the control it is about; the drawing stays that of the last hold that works.

import { faultNote } from "./faults.js";
import { text } from "./texts.js";

/** @typedef {import("./requests.js").Fault} Fault */

/** @param {HTMLFormElement | null} form @param {Fault[]} faults none where the hold works */
export function showHoldFaults(form, faults) {
  if (!form) return;
  for (const note of form.querySelectorAll(".fault:not(#held-fault)")) note.remove();
  for (const field of form.querySelectorAll("[aria-invalid]")) {
    field.removeAttribute("aria-invalid");
    field.removeAttribute("aria-errormessage");
  }
  const rest = faults.filter((fault) => !showBeside(form, fault)).map((fault) => fault.says);
  const whole = [...rest, faults.length ? text("refusedHold") : ""].filter(Boolean).join(" ");
  const message = form.querySelector("#held-fault");
  if (message && message.textContent !== whole) message.textContent = whole;
}

/** @param {HTMLFormElement} form @param {Fault} fault */
function showBeside(form, fault) {
  const name = fault.field.replace("[", "-").replace("]", "").replace("drawn_mm", "drawn-0");
  const field = form.elements.namedItem(name);
  if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement) || field.closest("[hidden]")) return false;
  const label = field.type === "text" ? field.labels?.[0]?.textContent.trim() : "";
  const values = { name: label ?? "", value: fault.value || `'${field.value}'`, want: fault.want };
  const note = faultNote(label ? text("fieldIs", values) : fault.says);
  note.id = `${field.id}-fault`;
  field.closest(".held-field")?.append(note);
  field.closest("details")?.setAttribute("open", "");
  field.setAttribute("aria-invalid", "true");
  field.setAttribute("aria-errormessage", note.id);
  return true;
}
