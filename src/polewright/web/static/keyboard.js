// @ts-check
// Keys: undo and redo, arrows that change a ply's figures, Alt with an arrow that moves a ply, Enter on a refused field.

import { isSending, makeEdit } from "./edits.js";

document.addEventListener("keydown", (event) => {
  const field = event.target;
  if (!(field instanceof HTMLElement)) return;
  if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z") return stepBack(event, field);
  if (event.key === "Enter" && field.matches("input[data-path][aria-invalid]") && !field.dataset.typing) return send(field);
  if (event.key !== "ArrowUp" && event.key !== "ArrowDown") return;
  const row = field.closest("tr[data-ply]");
  if (event.altKey && row) moveBy(event, row, field);
  else if (field instanceof HTMLInputElement && field.dataset.step) changeBy(event, field);
});

/** @param {HTMLElement} field */
function send(field) { field.dispatchEvent(new Event("change", { bubbles: true })); }

/** Typing is taken back by the browser first, then the edit by the workshop. @param {KeyboardEvent} event @param {HTMLElement} field */
function stepBack(event, field) {
  const isText = field instanceof HTMLInputElement && !["file", "range", "checkbox"].includes(field.type);
  if (isText && field.value !== field.defaultValue) return;
  const act = event.shiftKey ? "redo" : "undo", button = document.querySelector(`[data-act=${act}]`);
  if (!(button instanceof HTMLButtonElement)) return;
  event.preventDefault();
  if (!button.disabled || isSending()) makeEdit(field, { edit: act });
}

/** @param {KeyboardEvent} event @param {Element} row @param {HTMLElement} field */
function moveBy(event, row, field) {
  const mover = row.querySelector(event.key === "ArrowUp" ? "[id$='-up']" : "[id$='-down']");
  event.preventDefault();
  if (!(mover instanceof HTMLButtonElement) || mover.disabled) return;
  const { section, ply, to } = mover.dataset;
  makeEdit(field, { edit: "move_ply", section, ply, to });
}

/** @param {KeyboardEvent} event @param {HTMLInputElement} field */
function changeBy(event, field) {
  const now = Number(field.value.replace(",", ".").replace("\u2212", "-"));
  if (Number.isNaN(now)) return;
  event.preventDefault();
  const least = Number(field.dataset.least ?? -90), most = field.dataset.least ? 60 : 90;
  const by = Number(field.dataset.step) * (event.key === "ArrowUp" ? 1 : -1);
  field.value = String(Math.max(least, Math.min(most, now + by)));
  send(field);
}
