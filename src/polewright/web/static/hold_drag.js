// @ts-check
// The hand on the pole: the tip is dragged to lean it, a section to draw it out; each moves the slider of that name.

/** @typedef {{x: number, y: number, scale: number, left: number, top: number, room: number}} Spot */
/** @type {{field: HTMLInputElement, from: number, at: Spot, lean: number} | null} */
let drag = null;

export function isDragging() { return drag !== null; }

/** @param {HTMLInputElement} slider */
export function isDragged(slider) { return drag?.field.name === slider.name; }

/** @param {HTMLElement} place */
export function followPointer(place) {
  place.addEventListener("pointerdown", (event) => begin(place, event));
  place.addEventListener("pointermove", (event) => { if (drag) move(place, event); });
  for (const end of ["pointerup", "pointercancel"]) place.addEventListener(end, () => { drag = null; });
}

/** @param {HTMLElement} place @param {PointerEvent} event */
function begin(place, event) {
  const target = event.target instanceof Element ? event.target : null, handle = target?.closest("[data-drag]");
  const field = place.querySelector("form")?.elements.namedItem(handle?.getAttribute("data-drag") ?? "");
  const at = spot(place, event);
  if (!handle || event.button || !at || !(field instanceof HTMLInputElement)) return;
  event.preventDefault();
  drag = { field, from: Number(field.value), at, lean: leanAt(at) };
  target?.closest(".held-drawing")?.setPointerCapture(event.pointerId);
}

/** @param {HTMLElement} place @param {PointerEvent} event */
function move(place, event) {
  const now = spot(place, event);
  if (!drag || !now) return;
  if (drag.field.name === "lean_deg") drag.field.value = String(drag.from + leanAt(now) - drag.lean);
  else {
    const slider = place.querySelector("[name=lean_deg]");
    const lean = Number(slider instanceof HTMLInputElement ? slider.value : 0) * Math.PI / 180;
    const out = ((now.x - drag.at.x) * Math.cos(lean) - (now.y - drag.at.y) * Math.sin(lean)) / now.scale;
    drag.field.value = String(drag.from + out * 1000);
  }
  drag.field.dispatchEvent(new Event("input", { bubbles: true }));
}

/** Where the pointer is in the drawing in sight, with the drawing's own measures. @param {HTMLElement} place @param {PointerEvent} event @returns {Spot | null} */
function spot(place, event) {
  const frame = [...place.querySelectorAll(".held-drawing svg")].find((each) => each.getBoundingClientRect().width > 0);
  const measures = frame?.querySelector("[data-scale]"), matrix = frame instanceof SVGGraphicsElement ? frame.getScreenCTM() : null;
  if (!measures || !matrix) return null;
  const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
  const [scale = 1, left = 0, top = 0, room = 0] = ["scale", "left", "top", "room"].map((name) => Number(measures.getAttribute(`data-${name}`)));
  return { x, y, scale, left, top, room };
}

/** The root stands lower the more the pole is raised: the lean is the one whose own root sees the pointer there. @param {Spot} spot [deg] */
export function leanAt({ x, y, left, top, room }) {
  let best = 0, least = Infinity;
  for (let lean = -90; lean <= 90; lean += 1) {
    const root = top + room * (1 + Math.sin(lean * Math.PI / 180)) / 2;
    const off = Math.abs(Math.atan2(root - y, Math.max(x - left, 0)) * 180 / Math.PI - lean);
    if (off < least) { least = off; best = lean; }
  }
  return best;
}
