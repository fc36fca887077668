// @ts-check
// Values of the fields after an answer. htmx sets attributes; what a field shows follows here, save what is being typed.

import { isWaiting } from "./edits.js";

/** @typedef {import("./requests.js").Context} Context */
/** @typedef {{id: string, path: string, value: string, isChecked: boolean}} FieldState */

document.addEventListener("input", ({ target }) => { if (target instanceof HTMLElement) target.dataset.typing = "yes"; });
document.addEventListener("change", ({ target }) => { if (target instanceof HTMLElement) delete target.dataset.typing; }, true);

/** What a field of an answer holds. @param {Element} field @returns {FieldState} */
export function stateOf(field) {
  const { value, checked } = /** @type {HTMLInputElement} */ (field);
  return { id: field.id, path: field.getAttribute("data-path") ?? "", value, isChecked: checked };
}

/** @param {FieldState} fresh @param {Context} answered */
export function followField(fresh, answered) {
  const field = document.getElementById(fresh.id);
  if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement) || field.hasAttribute("aria-invalid")) return;
  if (isWaiting(field.dataset.path ?? "", answered) || isTyped(field)) return;
  if (field instanceof HTMLInputElement && field.type === "checkbox") field.checked = fresh.isChecked;
  else if (field.value !== fresh.value) field.value = fresh.value;
  if (field instanceof HTMLInputElement && field.defaultValue !== fresh.value && field.type !== "checkbox") field.defaultValue = fresh.value;
  if (field.dataset.path !== fresh.path) field.dataset.path = fresh.path;
}

/** @param {HTMLElement} field */
function isTyped(field) {
  return field === document.activeElement && field.matches("input[data-typing]");
}
