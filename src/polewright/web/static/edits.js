// @ts-check
// Edits of a pole. htmx sends them one at a time and in order from <body>; here is what an edit says, which waiting one
// a later one replaces, and how long the server is asked again.

import { on } from "./requests.js";
import { showStatus, text } from "./texts.js";

/** @typedef {import("./requests.js").Context} Context */
/** @typedef {{fields: Record<string, string>, from: HTMLElement, isReplaced: boolean}} Edit */

const slow = 400, again = 1500;    // [ms] until the page says that it is being checked; between tries to reach the server

/** @type {Map<Context, Edit>} sent or waiting, oldest first */
const edits = new Map();
let wasRefused = false, late = 0;

/** Is any edit under way, or the one that `except` stands for left out? */
export function isSending() { return edits.size > 0; }

/** Was one of the edits sent since the last rest refused? */
export function isRefused() { return wasRefused; }

export function editOf(/** @type {Context} */ context) { return edits.get(context); }

/** Is an edit of this field under way, other than the one just answered? @param {string} path @param {Context} answered */
export function isWaiting(path, answered) {
  return [...edits].some(([context, edit]) => context !== answered && edit.fields.path === path);
}

/** Fields whose edit has no answer yet. */
export function unanswered() {
  return [...edits.values()].filter((edit) => edit.fields.path).map(({ fields }) => [fields.path, fields.text]);
}

/** Make an edit that no single control of the page stands for. @param {HTMLElement} from @param {Record<string, string | undefined>} fields */
export function makeEdit(from, fields) {
  from.dispatchEvent(new CustomEvent("edit", { bubbles: true, detail: fields }));
}

export function markRefused() { wasRefused = true; }

on("config:request", (context, event) => {
  const { sourceElement, sourceEvent, request } = context;
  if (sourceElement !== document.body) return;
  const from = sourceEvent?.target, fields = from instanceof HTMLElement ? fieldsOf(/** @type {Event} */ (sourceEvent), from) : null;
  if (!fields || !(from instanceof HTMLElement)) return event.preventDefault();
  const body = new FormData();
  for (const [name, value] of Object.entries(fields)) body.set(name, value);
  request.body = body;
  request.keepalive = true;
  replaceWaiting(fields);
  if (!isSending()) begin();
  edits.set(context, { fields, from, isReplaced: false });
});

/** @param {Event} event @param {HTMLElement} from @returns {Record<string, string>} */
function fieldsOf(event, from) {
  if (event instanceof CustomEvent) {
    return Object.fromEntries(Object.entries(event.detail).filter(([, value]) => value !== undefined));
  }
  if (event.type === "change") return { edit: "set_field", path: from.dataset.path ?? "", text: textOf(from) };
  if (from.dataset.act) return { edit: from.dataset.act };
  const given = /** @type {Record<string, string>} */ ({ ...from.dataset });
  if (from instanceof HTMLFormElement) {
    for (const [name, value] of new FormData(from)) if (typeof value === "string") given[name] = value;
  }
  return given;
}

/** @param {HTMLElement} field */
export function textOf(field) {
  if (field instanceof HTMLInputElement && field.type === "checkbox") return field.checked ? "on" : "off";
  return field instanceof HTMLInputElement || field instanceof HTMLSelectElement ? field.value : "";
}

/** A later value of a field takes the place of one still waiting, back to the last edit that is not about one field. @param {Record<string, string>} fields */
function replaceWaiting(fields) {
  for (const edit of [...edits.values()].reverse()) {
    if (!edit.fields.path || !fields.path) return;
    if (edit.fields.path === fields.path) edit.isReplaced = true;
  }
}

on("before:request", (context, event) => {
  const edit = edits.get(context);
  if (!edit) return;
  if (edit.isReplaced) return event.preventDefault();
  const { request } = context;
  if (request.body instanceof URLSearchParams) request.body.set("seen", document.body.dataset.seen ?? "");
  Object.assign(context, { fetch: (/** @type {string} */ url, /** @type {RequestInit} */ asked) => fetchUntilAnswered(edit, url, asked) });
});

/** @param {Edit} edit @param {string} url @param {RequestInit} asked */
async function fetchUntilAnswered(edit, url, asked) {
  for (;;) {
    try { return await fetch(url, asked); } catch { showStatus(text("noAnswerEdit")); }
    await new Promise((done) => setTimeout(done, again));
    if (edit.isReplaced) throw new DOMException("a later value of the same field waits", "AbortError");
  }
}

function begin() {
  wasRefused = false;
  late = setTimeout(() => document.body.classList.add("busy"), slow);
}

on("finally:request", (context) => {
  if (!edits.delete(context) || isSending()) return;
  clearTimeout(late);
  document.body.classList.remove("busy");
  document.dispatchEvent(new CustomEvent("edits:answered"));
});
