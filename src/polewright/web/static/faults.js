// @ts-check
// A fault stands beside the field it is about, named as the page names the field.

import { text } from "./texts.js";

/** @typedef {import("./requests.js").Fault} Fault */

/** A fault as a sentence about a field: its label, and the group it stands in. @param {HTMLElement} field @param {Fault} fault */
export function sentence(field, fault) {
  const labels = field instanceof HTMLInputElement || field instanceof HTMLSelectElement ? field.labels : null;
  const own = (field.getAttribute("aria-label") ?? labels?.[0]?.textContent ?? "").trim();
  if (!own) return fault.says;
  const group = field.closest("[role=group][aria-label]")?.getAttribute("aria-label");
  const values = { name: group ? `${group}, ${own}` : own, value: fault.value, want: fault.want };
  return text(fault.value ? "fieldIs" : "fieldWants", values);
}

let unnamed = 0;

/** @param {HTMLElement} field @param {string} words */
export function putBeside(field, words) {
  unnamed += 1;
  if (!field.id) field.id = `at-${unnamed}`;
  clearFault(field);
  const holder = field.closest(".gridded") ?? field.closest(".field, tr, .row, form, .headline") ?? field.parentElement;
  if (!holder) return;
  const note = faultNote(words, holder.tagName === "TR" ? "td" : "p");
  note.id = `${field.id}-fault`;
  if (note instanceof HTMLTableCellElement) {
    const row = document.createElement("tr");
    row.className = "fault-row";
    row.id = `${note.id}-row`;
    note.colSpan = 9;
    row.append(note);
    holder.after(row);
  } else holder.append(note);
  if (field.matches("input, select")) {
    field.setAttribute("aria-invalid", "true");
    field.setAttribute("aria-errormessage", note.id);
  }
}

/** @param {string} words */
export function faultNote(words, kind = "p") {
  const note = document.createElement(kind);
  note.className = "fault";
  note.textContent = words;
  note.setAttribute("role", "alert");
  return note;
}

/** @param {Element} field a field, or a form with all of its fields */
export function clearFault(field) {
  if (field instanceof HTMLFormElement) for (const own of field.elements) clearFault(own);
  if (!field.id) return;
  field.removeAttribute("aria-invalid");
  field.removeAttribute("aria-errormessage");
  const note = document.getElementById(`${field.id}-fault`);
  if (note) (note.closest("tr.fault-row") ?? note).remove();
}
