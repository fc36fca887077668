// @ts-check
// A page answered to an edit: the parts of it that differ are given to htmx to morph; the rest of the page is left alone.

import { isFocusLost, keepFocus, moveFocus } from "./focus.js";
import { clearFault } from "./faults.js";
import { editOf } from "./edits.js";
import { followField, stateOf } from "./fields.js";
import { on } from "./requests.js";

/** @typedef {import("./requests.js").Context} Context */
/** @typedef {{type: string, target: Element, fragment: DocumentFragment, swapSpec: {style: string}, sourceElement: Element}} Task */

/** @type {WeakMap<Context, {seen: string, fields: import("./fields.js").FieldState[], disabled: Map<string, boolean>, focus: import("./focus.js").Kept}>} */
const updates = new WeakMap();

on("before:swap", (context, event) => {
  const [main] = /** @type {Task[]} */ (event.detail.tasks);
  const fresh = main?.fragment.querySelector("body[data-seen]");
  if (!(fresh instanceof HTMLElement) || context.sourceElement.closest("#held, #deep")) return;
  const edit = editOf(context);
  if (edit) {
    clearFault(edit.from);
    if (edit.from instanceof HTMLFormElement && "fresh" in edit.from.dataset) edit.from.reset();
  }
  updates.set(context, {
    seen: fresh.dataset.seen ?? "",
    fields: [...fresh.querySelectorAll("[data-path]")].map(stateOf),
    disabled: new Map([...fresh.querySelectorAll("button[data-act]")].map((button) => [button.getAttribute("data-act") ?? "", button.hasAttribute("disabled")])),
    focus: keepFocus(edit),
  });
  event.detail.tasks.splice(0, Infinity, ...changed(fresh, context.sourceElement));
});

/** @param {HTMLElement} fresh @param {Element} sourceElement @returns {Task[]} */
function changed(fresh, sourceElement) {
  const task = (/** @type {Element} */ target, /** @type {string} */ style, /** @type {Node[]} */ ...nodes) => {
    const fragment = document.createDocumentFragment();
    fragment.append(...nodes);
    return { type: "partial", target, fragment, swapSpec: { style }, sourceElement };
  };
  const tasks = [];
  for (const shape of fresh.querySelectorAll("[data-shape]")) {
    const old = document.getElementById(shape.id);
    if (old && old.dataset.shape !== shape.getAttribute("data-shape")) tasks.push(task(old, "outerMorph", shape));
  }
  for (const part of fresh.querySelectorAll("[data-part]")) {
    const old = document.querySelector(`[data-part="${part.getAttribute("data-part")}"]`);
    if (old && old.innerHTML !== part.innerHTML) tasks.push(task(old, "innerMorph", ...part.childNodes));
  }
  return tasks;
}

on("after:swap", (context) => {
  const update = updates.get(context);
  if (!update) return;
  for (const [act, isDisabled] of update.disabled) {
    const button = document.querySelector(`[data-act="${act}"]`);
    if (!(button instanceof HTMLButtonElement)) continue;
    if (isDisabled && button === document.activeElement) document.getElementById("place")?.focus({ preventScroll: true });
    button.disabled = isDisabled;
  }
  for (const state of update.fields) followField(state, context);
  if (isFocusLost() || update.focus.moved) moveFocus(update.focus);
  if (document.body.dataset.seen === update.seen) return;
  document.body.dataset.seen = update.seen;
  document.dispatchEvent(new CustomEvent("design:changed"));
});
