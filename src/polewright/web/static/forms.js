// @ts-check
// Forms that are sent whole (a test of the bench, a new pole, a revision). htmx sends them; a refusal is said beside the
// fields, and what was typed stays.

import { faultNote, putBeside, sentence } from "./faults.js";
import { faultsOf, on, refresh } from "./requests.js";
import { focusFirst } from "./refusals.js";
import { text } from "./texts.js";

/** @typedef {import("./requests.js").Fault} Fault */
/** @typedef {import("./requests.js").Context} Context */

/** @param {Context} context */
function formOf({ sourceElement }) {
  return sourceElement instanceof HTMLFormElement && sourceElement.hasAttribute("hx-boost") ? sourceElement : null;
}

on("config:request", (context) => {
  const form = formOf(context);
  for (const note of form?.querySelectorAll(".fault") ?? []) (note.closest("tr.fault-row") ?? note).remove();
  for (const field of form?.querySelectorAll("[aria-invalid]") ?? []) field.removeAttribute("aria-invalid");
});

on("after:request", (context, event) => {
  const form = formOf(context), answer = context.response?.raw;
  if (!form || !answer?.ok) return;
  event.preventDefault();
  if ("stay" in form.dataset) void refresh();
  else if (answer.redirected) location.assign(withPlace(answer.url));
  else location.reload();
});

/** An address says by `kept` which entry it is about, as a redirect keeps no place on the page. @param {string} address */
function withPlace(address) {
  const kept = new URL(address).searchParams.get("kept");
  return kept ? `${address}#entry-${kept}` : address;
}

on("response:error", (context) => {
  const form = formOf(context);
  if (form) showFaults(form, faultsOf(context, text("failedForm")));
});

on("error", (context) => {
  const form = formOf(context);
  if (form) showFaults(form, [{ field: "", value: "", want: "", says: text("noAnswerForm") }]);
});

document.addEventListener("click", ({ target }) => {
  const rows = target instanceof HTMLElement && target.matches(".more-rows") ? target.closest(".rows") : null;
  if (rows) addRows(rows);
});

const FURTHER = 6;

/** Further empty rows of a table of readings; loads go on as in the two rows before. @param {Element} rows */
function addRows(rows) {
  const body = rows.querySelector("tbody"), pattern = rows.querySelector("template")?.innerHTML;
  if (!body || !pattern) return;
  const first = body.rows.length;
  for (let nth = first; nth < first + FURTHER; nth += 1) {
    body.insertAdjacentHTML("beforeend", pattern.replaceAll("@", `${nth}`).replaceAll("#", `${nth + 1}`));
    const [load, before] = [nth, nth - 2].map((row) => body.rows[row]?.querySelector("input"));
    if (load && before) load.value = before.value;
  }
  body.rows[first]?.querySelector("input")?.focus();
}

/** @param {HTMLFormElement} form @param {Fault[]} faults */
function showFaults(form, faults) {
  for (const fault of faults) {
    const field = fieldOf(form, fault.field.replace(/^test(\.|, )/, ""));
    if (field) putBeside(field, sentence(field, { ...fault, value: fault.value && `'${field.value}'` }));
    else form.append(faultNote(fault.says));
  }
  focusFirst(form);
  form.querySelector(".fault")?.scrollIntoView({ block: "nearest" });
}

/** The field of a form that a fault is about; readings of a test are counted over the rows that were used. @param {HTMLFormElement} form @param {string} name */
function fieldOf(form, name) {
  const [, nth, what] = name.match(/^readings\[(\d+)\]\.(\w+)$/) ?? [];
  const used = [...form.querySelectorAll("[name^=reading_mm-]")].filter((each) => each instanceof HTMLInputElement && each.value.trim());
  const row = used[Number(nth)]?.getAttribute("name")?.split("-")[1];
  const field = form.elements.namedItem(what && row ? `${what}-${row}` : name);
  const isField = field instanceof HTMLInputElement || field instanceof HTMLSelectElement;
  return isField && !field.hidden && field.type !== "hidden" ? field : null;
}
