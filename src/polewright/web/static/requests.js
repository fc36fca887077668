// @ts-check
// What every request of htmx has in common here: events with a type, refusals as JSON, the page as it is now.

import htmx from "./vendor/htmx.esm.min.js";

/** @typedef {import("./vendor/htmx.esm.min.js").HtmxRequestCtx} Context */
/** @typedef {{field: string, value: string, want: string, says: string}} Fault */

/**
 * Listen to an event of htmx that is about a request.
 * @param {"config:request" | "before:request" | "after:request" | "before:swap" | "after:swap" | "response:error" | "error" | "finally:request"} name
 * @param {(context: Context, event: CustomEvent) => void} act
 */
export function on(name, act) {
  document.addEventListener(`htmx:${name}`, (event) => {
    if (event instanceof CustomEvent && event.detail?.ctx) act(event.detail.ctx, event);
  });
}

on("config:request", ({ request }) => { request.headers.Accept = "application/json, text/html"; });

/** The faults of a refused request; `otherwise` is said where the server itself failed. @param {Context} context @param {string} otherwise @returns {Fault[]} */
export function faultsOf(context, otherwise) {
  try { return JSON.parse(context.text ?? "").faults; } catch { return [{ field: "", value: "", want: "", says: otherwise }]; }
}

/** Ask for the page as the workshop has it now and put it in place; resolves when that is done. */
export function refresh() {
  return htmx.ajax("GET", location.pathname + location.search, { source: "#place", swap: "none" });
}
