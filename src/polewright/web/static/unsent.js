// @ts-check
// What was typed and not kept comes back with the page after it was left or reloaded, and says that it is not kept.

import { putBeside } from "./faults.js";
import { text } from "./texts.js";
import { unanswered } from "./edits.js";

const name = `typed ${location.pathname}${location.search}`;
const unkept = "input[data-path]:is([data-typing], [aria-invalid])";

addEventListener("pagehide", () => {
  const typed = [...document.querySelectorAll(unkept)].map((field) => [field.getAttribute("data-path"), /** @type {HTMLInputElement} */ (field).value]);
  const listed = [...unanswered(), ...typed];
  if (listed.length) sessionStorage.setItem(name, JSON.stringify(listed));
});

/** Is something typed here that the workshop does not have? */
export function isTypedOnly() { return document.querySelector("[data-typing], [aria-invalid]") !== null; }

function bringBack() {
  const listed = /** @type {[string, string][]} */ (JSON.parse(sessionStorage.getItem(name) ?? "[]"));
  sessionStorage.removeItem(name);
  for (const [path, value] of new Map(listed)) {
    const field = [...document.querySelectorAll("input[data-path]:not([type=checkbox])")].find((each) => each.getAttribute("data-path") === path);
    if (!(field instanceof HTMLInputElement) || field.value === value) continue;
    field.value = value;
    putBeside(field, text("unsent"));
    field.closest("details")?.setAttribute("open", "");
    field.focus();
  }
}

bringBack();
