// The pole in the hand: one question to the server at a time, the newest state asked as soon as the last is answered.

const place = document.getElementById("held");
const shape = 0, forces = 1, copies = 2;
const soon = 220, again = 350;
const leaning = 60;    // [deg] a pole that is set against the glass begins so steep
let form = null, dirty = false, flying = false, isRefused = false, later = 0, drag = null;

if (place) begin();

async function begin() {
  place.addEventListener("input", (event) => { if (event.target.form === form) touched(event.target); });
  place.addEventListener("submit", (event) => event.preventDefault());
  place.addEventListener("click", (event) => { if (event.target.id === "held-band-stop") stop(); });
  place.addEventListener("pointerdown", hold);
  place.addEventListener("pointermove", move);
  for (const end of ["pointerup", "pointercancel"]) place.addEventListener(end, () => { drag = null; });
  const kept = new URLSearchParams(location.hash.startsWith("#held:") ? location.hash.slice(6) : "");
  const first = (await fetched(kept, shape)) ?? (await fetched(new URLSearchParams(), shape));
  if (!first) return;
  place.innerHTML = first;
  form = place.querySelector("form");
  place.dataset.ready = "yes";
  rest();
  new MutationObserver(() => whole()).observe(document.body, { attributes: true, attributeFilter: ["data-seen"] });
}

async function fetched(query, depth) {
  query.set("depth", String(depth));
  try {
    const answer = await fetch(`${place.dataset.held}?${query}`, { headers: { accept: "application/json, text/html" } });
    return answer.ok ? await answer.text() : null;
  } catch { return null; }
}

function touched(control) {
  const lean = form.elements.namedItem("lean_deg");
  if (control.name === "support" && control.value === "head on glass" && Number(lean.value) < leaning) lean.value = String(leaning);
  const order = form.elements.namedItem("order");
  if (control.name.startsWith("drawn-")) order.value = "own";
  if (control.name === "reach_mm" && order?.value === "own") order.value = "thin";
  if (control.name === "support" || control.name === "slide") only();
  ask();
}

function only() {
  const support = form.elements.namedItem("support").value;
  const now = support === "head on glass" ? [support, form.elements.namedItem("slide").value] : [support];
  for (const field of form.querySelectorAll("[data-only-for]")) field.hidden = !field.dataset.onlyFor.split(",").some((each) => now.includes(each));
}

function asked() {
  const query = new URLSearchParams(new FormData(form));
  const own = query.get("order") === "own";
  for (const name of [...query.keys()]) if (own ? name === "reach_mm" : name.startsWith("drawn-")) query.delete(name);
  return query;
}

function ask() {
  dirty = true;
  document.getElementById("held-band-stop").hidden = true;
  clearTimeout(later);
  if (!flying) fly();
}

async function fly() {
  flying = true;
  while (dirty) {
    dirty = false;
    await one(shape);
  }
  flying = false;
  rest();
}

function rest() {
  clearTimeout(later);
  later = setTimeout(async () => {
    if (flying || drag) return rest();
    if (isRefused) return;
    flying = true;
    for (const depth of [forces, copies]) if (!dirty) await one(depth);
    flying = false;
    if (dirty) fly();
    else grow();
  }, soon);
}

// The copies go on aside: the band is asked for again until they all are there, or the hold is another.
function grow() {
  const growing = place.querySelector("[data-growing]") !== null;
  document.getElementById("held-band-stop").hidden = !growing;
  if (!growing) return;
  later = setTimeout(async () => {
    if (flying || drag) return;
    flying = true;
    await one(copies);
    flying = false;
    if (dirty) fly();
    else grow();
  }, again);
}

async function stop() {
  try { await fetch(`${place.dataset.held}/stop`, { method: "POST" }); } catch { /* the next question says so */ }
}

async function one(depth) {
  const query = asked();
  const kept = String(query);
  query.set("depth", String(depth));
  let answer, words;
  try {
    answer = await fetch(`${place.dataset.held}?${query}`, { headers: { accept: "application/json, text/html" } });
    words = await answer.text();
  } catch {
    return say([{ field: "", says: "The workshop's program does not answer; the drawing is the last one." }]);
  }
  if (dirty && depth !== shape) return;
  isRefused = !answer.ok;
  if (isRefused) return refused(words);
  say([]);
  take(words);
  if (depth === shape) history.replaceState(history.state, "", `#held:${kept}`);
}

function refused(words) {
  let faults;
  try { faults = JSON.parse(words).faults; } catch { faults = [{ field: "", says: "The program failed; the drawing is the last good one." }]; }
  say(faults);
}

function say(faults) {
  for (const note of form.querySelectorAll(".fault:not(#held-fault)")) note.remove();
  for (const field of form.querySelectorAll("[aria-invalid]")) { field.removeAttribute("aria-invalid"); field.removeAttribute("aria-errormessage"); }
  const rest = [];
  for (const fault of faults) {
    const field = form.elements.namedItem(fault.field.replace("[", "-").replace("]", "").replace("drawn_mm", "drawn-0"));
    if (!(field instanceof HTMLElement) || field.closest("[hidden]")) { rest.push(fault.says); continue; }
    const note = document.createElement("p");
    note.className = "fault";
    note.id = `${field.id}-fault`;
    note.setAttribute("role", "alert");
    const name = field.labels?.[0]?.textContent.trim();
    const value = fault.value || (field.type === "text" ? `'${field.value}'` : "");
    note.textContent = name && field.type === "text" ? `${name} is ${value}: ${fault.want}` : fault.says;
    field.closest(".held-field").append(note);
    field.closest("details")?.setAttribute("open", "");
    field.setAttribute("aria-invalid", "true");
    field.setAttribute("aria-errormessage", note.id);
  }
  const last = faults.length ? "The drawing and its figures are those of the last hold that works." : "";
  const whole = [...rest, last].filter(Boolean).join(" ");
  const told = form.querySelector("#held-fault");
  if (told.textContent !== whole) told.textContent = whole;
}

function take(words) {
  const fresh = new DOMParser().parseFromString(words, "text/html");
  for (const part of fresh.querySelectorAll("[data-held-part]")) {
    if ("heldLater" in part.dataset) continue;
    const old = place.querySelector(`[data-held-part="${part.dataset.heldPart}"]`);
    if (!old || old.innerHTML === part.innerHTML) continue;
    const open = [...old.querySelectorAll("details[open][id]")].map((each) => each.id);
    old.innerHTML = part.innerHTML;
    for (const id of open) document.getElementById(id)?.setAttribute("open", "");
  }
  if (dirty) return;    // a control was moved since this was asked: it keeps its place, the next answer knows it
  for (const field of fresh.querySelectorAll("input[type=range]")) {
    const old = document.getElementById(field.id);
    if (old && old !== document.activeElement && !(drag && drag.name === old.name)) old.value = field.value;
  }
}

// The design itself was changed: lengths and the table of where to spend may be others.
async function whole() {
  const fresh = await fetched(asked(), shape);
  if (!fresh) return ask();
  const held = new DOMParser().parseFromString(fresh, "text/html");
  for (const name of [".held-spend", ".held-each"]) {
    const [old, made] = [place.querySelector(name), held.querySelector(name)];
    if (old && made && old.innerHTML !== made.innerHTML && !old.contains(document.activeElement)) {
      if (old.open) made.setAttribute("open", "");
      old.replaceWith(made);
    }
  }
  const [old, made] = [document.getElementById("held-reach_mm"), held.getElementById("held-reach_mm")];
  if (old && made) { old.min = made.min; old.max = made.max; }
  ask();
}

function spot(event) {
  const frame = [...place.querySelectorAll(".held-drawing svg")].find((each) => each.getBoundingClientRect().width > 0);
  const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(frame.getScreenCTM().inverse());
  const data = frame.querySelector("[data-scale]").dataset;
  return { x, y, scale: Number(data.scale), left: Number(data.left), top: Number(data.top), room: Number(data.room) };
}

// The root stands lower the more the pole is raised: the lean is the one whose own root sees the pointer there.
function leanAt({ x, y, left, top, room }) {
  let best = 0, least = Infinity;
  for (let lean = -90; lean <= 90; lean += 1) {
    const root = top + room * (1 + Math.sin(lean * Math.PI / 180)) / 2;
    const off = Math.abs(Math.atan2(root - y, Math.max(x - left, 0)) * 180 / Math.PI - lean);
    if (off < least) { least = off; best = lean; }
  }
  return best;
}

function hold(event) {
  const grip = event.target.closest("[data-drag]");
  if (!grip || event.button) return;
  const field = form.elements.namedItem(grip.dataset.drag);
  if (!field) return;
  event.preventDefault();
  const at = spot(event);
  drag = { name: field.name, field, from: Number(field.value), at, lean: leanAt(at) };
  event.target.closest(".held-drawing").setPointerCapture(event.pointerId);
}

function move(event) {
  if (!drag) return;
  const now = spot(event);
  if (drag.name === "lean_deg") drag.field.value = String(drag.from + leanAt(now) - drag.lean);
  else {
    const lean = Number(form.elements.namedItem("lean_deg").value) * Math.PI / 180;
    const out = ((now.x - drag.at.x) * Math.cos(lean) - (now.y - drag.at.y) * Math.sin(lean)) / now.scale;
    drag.field.value = String(drag.from + out * 1000);
  }
  touched(drag.field);
}
