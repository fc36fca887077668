// @ts-check
// The pole in the hand. htmx asks for the newest hold only, one request at a time: first the shape, then at rest the
// forces and the band of copies; here is what a hold says and which parts of an answer are still wanted.

import htmx from "./vendor/htmx.esm.min.js";
import { faultsOf, on } from "./requests.js";
import { adjustControls, control, holdForm, holdPlace, holdText } from "./hold_controls.js";
import { followPointer, isDragged, isDragging } from "./hold_drag.js";
import { showHoldFaults } from "./hold_faults.js";
import { text } from "./texts.js";

/** @typedef {import("./requests.js").Context} Context */
/** @typedef {import("./page_update.js").Task} Task */

/** @type {Record<string, number>} */
const depths = { "hold:rest": 1, "hold:copies": 2, "hold:grow": 2 };

const place = holdPlace;
/** @type {Context | null} */
let newest = null;
let address = location.hash.startsWith("#held:") ? location.hash.slice(6) : "";
/** @type {WeakMap<Context, string>} the hold each request asks about, as its address says it */
const holds = new WeakMap();
/** @type {WeakSet<Context>} requests made since the design was changed */
const ofNewDesign = new WeakSet();
let isNewDesign = false;

/** @param {boolean} isHidden */
function hideStop(isHidden) { document.getElementById("held-band-stop")?.toggleAttribute("hidden", isHidden); }

/** Stop trying copies. @param {Element} button */
function stop(button) { void htmx.ajax("POST", `${place?.getAttribute("hx-get")}/stop`, { source: button, swap: "none" }); }

/** @param {string} event */
function ask(event) { if (place) htmx.trigger(place, event); }

if (place) {
  place.addEventListener("input", ({ target }) => { if (target instanceof Element) adjustControls(target); }, true);
  place.addEventListener("submit", (event) => event.preventDefault());
  place.addEventListener("click", ({ target }) => { if (target instanceof Element && target.id === "held-band-stop") stop(target); });
  followPointer(place);
  document.addEventListener("design:changed", () => { isNewDesign = true; if (holdForm()) ask("hold:again"); });
}

on("config:request", (context, event) => {
  if (context.sourceElement !== place) return;
  const { request, sourceEvent } = context, depth = depths[sourceEvent?.type ?? ""] ?? 0;
  if (depth && isDragging()) {
    event.preventDefault();
    return ask("hold:rest");
  }
  const query = holdText() ?? new URLSearchParams(address), body = new FormData();
  holds.set(context, String(query));
  for (const [name, value] of query) body.set(name, value);
  body.set("depth", String(depth));
  request.body = body;
  if (isNewDesign) ofNewDesign.add(context);
  newest = context;
  if (depth === 0) hideStop(true);
});

on("before:swap", (context, event) => {
  if (context.sourceElement !== place || !context.response?.raw.ok) return;
  const tasks = /** @type {Task[]} */ (event.detail.tasks), [main] = tasks;
  if (!main) return;
  if (!holdForm()) {
    main.swapSpec.style = "innerHTML";
    return;
  }
  if (depthOf(context) && context !== newest) return event.preventDefault();
  const { fragment } = main;
  const wanted = [...fragment.querySelectorAll("[data-held-part]:not([data-held-later])")].map((part) => partTask(part, main));
  if (ofNewDesign.has(context)) wanted.push(...designTasks(fragment, main));
  const sliders = [...fragment.querySelectorAll("input[type=range]")].map((each) => /** @type {HTMLInputElement} */ (each));
  if (context === newest) for (const fresh of sliders) followSlider(fresh);
  tasks.splice(0, Infinity, ...wanted.filter((each) => each !== null));
  showHoldFaults(holdForm(), []);
});

/** @param {Context} context */
function depthOf(context) { return depths[context.sourceEvent?.type ?? ""] ?? 0; }

/** @param {Element} fresh @param {Task} main @returns {Task | null} */
function partTask(fresh, main) {
  const old = place?.querySelector(`[data-held-part="${fresh.getAttribute("data-held-part")}"]`);
  if (!old || old.innerHTML === fresh.innerHTML) return null;
  const fragment = document.createDocumentFragment();
  fragment.append(...fresh.childNodes);
  return { ...main, target: old, fragment, swapSpec: { style: "innerMorph" } };
}

/** What only a change of the design changes: where to spend, the joints, how far the pole reaches. @param {DocumentFragment} fresh @param {Task} main @returns {Task[]} */
function designTasks(fresh, main) {
  isNewDesign = false;
  const [reach, now] = [fresh.querySelector("#held-reach_mm"), control("reach_mm")];
  for (const end of ["min", "max"]) if (now && reach) now.setAttribute(end, reach.getAttribute(end) ?? "");
  return [".held-spend", ".held-each"].flatMap((name) => {
    const [old, made] = [place?.querySelector(name), fresh.querySelector(name)];
    if (!old || !made || old.contains(document.activeElement)) return [];
    const fragment = document.createDocumentFragment();
    fragment.append(made);
    return [{ ...main, target: old, fragment, swapSpec: { style: "outerMorph" } }];
  });
}

/** @param {HTMLInputElement} fresh */
function followSlider(fresh) {
  const old = document.getElementById(fresh.id);
  if (old instanceof HTMLInputElement && old !== document.activeElement && !isDragged(old)) old.value = fresh.value;
}

on("after:swap", (context) => {
  if (context.sourceElement !== place || !context.response?.raw.ok) return;
  if (place && !place.dataset.ready) place.dataset.ready = "yes";
  else if (!depthOf(context)) history.replaceState(history.state, "", `#held:${holds.get(context)}`);
});

// The copies are tried aside: the band is asked for again until they all are there, or the hold is another.
on("finally:request", (context) => {
  if (context.sourceElement !== place || context !== newest || !context.response?.raw.ok) return;
  const isGrowing = place?.querySelector("[data-growing]") !== null;
  if (depthOf(context) === 0) ask("hold:rest");
  else if (depthOf(context) === 1) ask("hold:copies");
  else hideStop(!isGrowing);
  if (depthOf(context) === 2 && isGrowing) ask("hold:grow");
});

on("response:error", (context) => {
  if (context.sourceElement !== place) return;
  if (holdForm()) return showHoldFaults(holdForm(), faultsOf(context, text("failedHold")));
  if (!address) return;
  address = "";    // an address that this pole does not know: begin with the hold it opens with
  ask("hold:again");
});

on("error", (context) => {
  if (context.sourceElement === place) showHoldFaults(holdForm(), [{ field: "", value: "", want: "", says: text("noAnswerHold") }]);
});
