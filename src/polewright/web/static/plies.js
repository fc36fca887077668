// @ts-check
// Plies of a stack: dragged by their number to another place, and marked while one of their fields is at hand.

import { makeEdit } from "./edits.js";

/** @param {Event} event */
function rowAt({ target }) {
  const row = target instanceof Element ? target.closest(".ply-table tr[data-ply]") : null;
  return row instanceof HTMLElement ? row : null;
}

function clearDropMarks() {
  for (const each of document.querySelectorAll("tr.over")) each.classList.remove("over");
}

document.addEventListener("dragstart", (event) => {
  const ply = rowAt(event)?.dataset.ply;
  if (!ply || !event.dataTransfer) return;
  event.dataTransfer.setData("text/plain", ply);
  event.dataTransfer.effectAllowed = "move";
});

document.addEventListener("dragover", (event) => {
  const row = rowAt(event);
  clearDropMarks();
  if (!row) return;
  event.preventDefault();
  row.classList.add("over");
});

document.addEventListener("drop", (event) => {
  const row = rowAt(event), ply = event.dataTransfer?.getData("text/plain");
  if (!row) return;
  event.preventDefault();
  clearDropMarks();
  const section = row.querySelector("[data-section]")?.getAttribute("data-section") ?? "";
  if (ply && ply !== row.dataset.ply) makeEdit(row, { edit: "move_ply", section, ply, to: row.dataset.ply });
});

/** Mark the row of a ply, for which a phone shows a bar of its moves; the bar of edits below keeps the mark. @param {Event} event */
function markRow(event) {
  if (!(event.target instanceof Element) || event.target.closest(".acts")) return;
  const row = rowAt(event);
  for (const each of document.querySelectorAll(".ply-table tr.on")) if (each !== row) each.classList.remove("on");
  row?.classList.add("on");
  document.body.classList.toggle("picking", row !== null);
}

document.addEventListener("focusin", markRow);
document.addEventListener("pointerdown", markRow);
