// @ts-check
// The controls of the pole in the hand: what they say together, and which of them a way of holding asks for.

const steep = 60;    // [deg] a pole that is set against the glass begins so steep

export const holdPlace = document.getElementById("held");

/** @returns {HTMLFormElement | null} */
export function holdForm() { return holdPlace?.querySelector("form") ?? null; }

/** A control of the form by its name. @param {string} name */
export function control(name) {
  return /** @type {HTMLInputElement | HTMLSelectElement | null} */ (holdForm()?.elements.namedItem(name) ?? null);
}

/** Bring the other controls in line with the one just moved. @param {Element} target */
export function adjustControls(target) {
  if (!(target instanceof HTMLInputElement || target instanceof HTMLSelectElement)) return;
  const lean = control("lean_deg"), order = control("order");
  if (target.name === "support" && target.value === "head on glass" && lean && Number(lean.value) < steep) lean.value = String(steep);
  if (target.name.startsWith("drawn-") && order) order.value = "own";
  if (target.name === "reach_mm" && order?.value === "own") order.value = "thin";
  if (target.name === "support" || target.name === "slide") showControls();
}

/** Show the controls that the way of holding asks for. */
function showControls() {
  const support = control("support")?.value ?? "";
  const ways = support === "head on glass" ? [support, control("slide")?.value] : [support];
  for (const field of holdPlace?.querySelectorAll("[data-only-for]") ?? []) {
    field.toggleAttribute("hidden", !(field.getAttribute("data-only-for") ?? "").split(",").some((each) => ways.includes(each)));
  }
}

/** What the controls say, as an address; null before there are any. */
export function holdText() {
  const now = holdForm();
  if (!now) return null;
  const query = new URLSearchParams(/** @type {Record<string, string>} */ (Object.fromEntries(new FormData(now))));
  const isOwn = query.get("order") === "own";
  for (const name of [...query.keys()]) if (isOwn ? name === "reach_mm" : name.startsWith("drawn-")) query.delete(name);
  return query;
}

