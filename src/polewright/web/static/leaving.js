// @ts-check
// A page is left when what was changed on it has been sent; a refusal is read first. Seen again, it is brought up to date.

import { isRefused, isSending } from "./edits.js";
import { isTypedOnly } from "./unsent.js";
import { refresh } from "./requests.js";

/** @type {(() => void) | null} */
let leave = null;
/** A press takes a moment: the answer to the change it made may come before its button is up again. */
let isPressed = false, wasRefusedInPress = false;

addEventListener("pointerdown", () => { isPressed = true; wasRefusedInPress = false; }, true);
for (const ends of ["pointerup", "pointercancel"]) {
  addEventListener(ends, () => setTimeout(() => { isPressed = wasRefusedInPress = false; }), true);    // after the click
}

/** Stop what a press would do if a refusal came while it lasted. @param {Event} event */
function stopToRead(event) {
  if (!wasRefusedInPress) return false;
  wasRefusedInPress = false;
  event.preventDefault();
  event.stopImmediatePropagation();
  return true;
}

document.addEventListener("submit", (event) => {
  const form = event.target, { submitter } = event;
  if (form instanceof HTMLFormElement && !form.dataset.edit && stopToRead(event)) return;
  if (!isSending() || !(form instanceof HTMLFormElement) || form.dataset.edit) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  leave = () => form.requestSubmit(submitter);
}, true);

document.addEventListener("click", (event) => {
  const link = event.target instanceof Element ? event.target.closest("a[href]") : null, href = link?.getAttribute("href");
  if (href && stopToRead(event)) return;
  if (!href || !isSending() || href.startsWith("#") || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  leave = () => location.assign(href);
});

document.addEventListener("edits:answered", () => {
  const go = leave;
  leave = null;
  if (isRefused()) wasRefusedInPress = isPressed;
  else go?.();
});

/** Another window may have changed the pole while this one was out of sight. */
function seenAgain() {
  if (document.body.dataset.seen && !document.hidden && !isSending() && !isTypedOnly()) void refresh();
}

document.addEventListener("visibilitychange", seenAgain);
addEventListener("pageshow", (event) => { if (event.persisted) seenAgain(); });
