// Edits go to the server one at a time and in order; what comes back is put in place without touching the field at hand.

const waiting = [];
const slow = 400, watched = 2000;    // [ms] until a page says that it is being checked; between looks at a search
let flying = false, leave = null, isRefused = false;

document.addEventListener("change", (event) => {
  const field = event.target.closest("[data-path]");
  if (field) ask({ edit: "set_field", path: field.dataset.path, text: said(field) }, field);
});

document.addEventListener("input", (event) => { event.target.dataset.typing = "yes"; });
document.addEventListener("change", (event) => { delete event.target.dataset.typing; }, true);

document.addEventListener("click", (event) => {
  const act = event.target.closest("button[data-act]");
  if (act) return ask({ edit: act.dataset.act }, act);
  const button = event.target.closest("button[data-edit]");
  if (button) {
    ask({ ...button.dataset }, button);
  }
});

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.dataset.edit && isSending()) {
    event.preventDefault();
    leave = () => form.requestSubmit(event.submitter);
  } else if (form.dataset.edit) {
    event.preventDefault();
    ask({ ...form.dataset, ...Object.fromEntries(new FormData(form)) }, form);
  } else if ("ask" in form.dataset) {
    event.preventDefault();
    hand(form, event.submitter);
  }
});

// A page is left when what was changed on it has been sent; a refusal is read first.
document.addEventListener("click", (event) => {
  const link = event.target.closest("a[href]"), href = link?.getAttribute("href");
  if (!link || !isSending() || href.startsWith("#") || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  leave = () => location.assign(href);
});

document.addEventListener("keydown", (event) => {
  const field = event.target;
  if (event.key === "Enter" && field.matches?.("input[data-path][aria-invalid]") && !field.dataset.typing) {
    return ask({ edit: "set_field", path: field.dataset.path, text: said(field) }, field);
  }
  if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z") return step(event);
  const row = field.closest && field.closest("[data-ply]");
  const way = { ArrowUp: 1, ArrowDown: -1 }[event.key];
  if (!way) return;
  if (event.altKey && row) {
    const mover = row.querySelector(way > 0 ? "[id$='-up']" : "[id$='-down']");
    event.preventDefault();
    if (mover && !mover.disabled) ask(given({ edit: "move_ply", ...pick(mover) }), field);
  } else if (field.dataset && field.dataset.step) {
    const now = Number(field.value.replace(",", ".").replace("\u2212", "-"));
    if (Number.isNaN(now)) return;
    event.preventDefault();
    const least = Number(field.dataset.least ?? -90), most = field.dataset.least ? 60 : 90;
    field.value = String(Math.max(least, Math.min(most, now + way * Number(field.dataset.step))));
    ask({ edit: "set_field", path: field.dataset.path, text: field.value }, field);
  }
});

document.addEventListener("focusin", (event) => mark(event.target));
document.addEventListener("pointerdown", (event) => mark(event.target));

document.addEventListener("dragstart", (event) => {
  const row = event.target.closest("[data-ply]");
  if (!row) return;
  event.dataTransfer.setData("text/plain", row.dataset.ply);
  event.dataTransfer.effectAllowed = "move";
});
document.addEventListener("dragover", (event) => {
  const row = event.target.closest(".ply-table [data-ply]");
  for (const each of document.querySelectorAll("tr.over")) each.classList.remove("over");
  if (row) { event.preventDefault(); row.classList.add("over"); }
});
document.addEventListener("drop", (event) => {
  const row = event.target.closest(".ply-table [data-ply]");
  if (!row) return;
  event.preventDefault();
  row.classList.remove("over");
  const ply = event.dataTransfer.getData("text/plain");
  const section = row.querySelector("[data-section]").dataset.section;
  if (ply !== row.dataset.ply) ask({ edit: "move_ply", section, ply, to: row.dataset.ply }, row);
});

function pick(mover) { return { section: mover.dataset.section, ply: mover.dataset.ply, to: mover.dataset.to }; }

function said(field) { return field.type === "checkbox" ? (field.checked ? "on" : "off") : field.value; }

function given(fields) { return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)); }

function mark(target) {
  const row = target.closest && target.closest(".ply-table tr[data-ply]");
  const bar = target.closest && target.closest(".acts");
  if (bar) return;
  for (const each of document.querySelectorAll(".ply-table tr.on")) if (each !== row) each.classList.remove("on");
  if (row) row.classList.add("on");
  document.body.classList.toggle("picking", Boolean(row));
}

function step(event) {
  const field = event.target;
  const isTyped = field.matches && field.matches("input:not([type=file], [type=range], [type=checkbox])");
  if (isTyped && field.value !== field.defaultValue) return;
  const act = event.shiftKey ? "redo" : "undo";
  const button = document.querySelector(`[data-act=${act}]`);
  if (!button) return;
  event.preventDefault();
  if (!button.disabled || waiting.length || flying) ask({ edit: act }, field);
}

function ask(fields, from) {
  const same = fields.path && waiting.findIndex((each) => each.fields.path === fields.path);
  if (same !== undefined && same >= 0) waiting[same] = { fields, from };
  else waiting.push({ fields, from });
  if (!flying) fly();
}

function isSending() { return flying || waiting.length > 0; }

async function fly() {
  flying = true;
  isRefused = false;
  const late = setTimeout(() => document.body.classList.add("busy"), slow);
  while (waiting.length) {
    const { fields, from } = waiting.shift();
    let answer;
    try {
      answer = await fetch(document.body.dataset.edit, {
        method: "POST", headers: { accept: "application/json, text/html" }, keepalive: true,
        body: new URLSearchParams({ ...fields, seen: document.body.dataset.seen }),
      });
    } catch {
      tell("Not kept: the workshop's program does not answer. Start it again with polewright open; "
        + "the change is sent as soon as it is back.");
      if (!waiting.some((each) => fields.path && each.fields.path === fields.path)) waiting.unshift({ fields, from });
      await new Promise((done) => setTimeout(done, 1500));
      continue;
    }
    const words = await answer.text();
    if (answer.ok) {
      clear(from);
      if (from?.matches?.("form[data-fresh]")) from.reset();
      take(words, fields);
    } else await refuse(words, fields, from);
  }
  clearTimeout(late);
  document.body.classList.remove("busy");
  flying = false;
  const go = leave;
  leave = null;
  if (go && !isRefused) go();
}

function tell(words) { document.getElementById("status").textContent = words; }

async function refuse(words, fields, from) {
  let faults;
  try { faults = JSON.parse(words).faults; } catch { faults = [{ field: "", says: "The program failed; nothing was changed." }]; }
  isRefused = true;
  if (faults.some((fault) => fault.field === "page")) {
    if (from?.matches?.("input[data-path]")) from.setAttribute("aria-invalid", "true");    // keeps what was typed
    await look();
  }
  clear(from);
  const far = [];
  for (const fault of faults) {
    const own = from?.elements?.namedItem(fault.field.split(".").pop());
    if (own instanceof HTMLElement && own.type !== "hidden" && from.isConnected) beside(own, sentence(own, fault));
    else if (isOf(fault, fields) && from?.isConnected) far.push(sentence(from, fault));
    else far.push(fault.says);
  }
  const field = fields.path ? document.querySelector(`[data-path="${fields.path}"]`) : from;
  if (far.length && field && field.isConnected) beside(field, far.join(" "));
  from?.elements && from.querySelector?.("[aria-invalid]")?.focus();
  tell("Not changed: the figures are those of the last good design.");
  document.querySelector("[aria-invalid]")?.scrollIntoView({ block: "nearest" });
  document.querySelector("#place .fault:not(:empty)")?.scrollIntoView({ block: "nearest" });
}

function isOf(fault, fields) {
  const isNear = fault.value === `'${fields.text}'` && fields.path?.startsWith(`${fault.field}.`);
  return fault.field !== "" && (fault.field === fields.path || isNear);
}

// A fault as the page names the field: its label, and the group it stands in.
function sentence(field, fault) {
  const own = (field.getAttribute("aria-label") ?? field.labels?.[0]?.textContent ?? "").trim();
  if (!own) return fault.says;
  const group = field.closest("[role=group][aria-label]")?.getAttribute("aria-label");
  const name = group ? `${group}, ${own}` : own;
  return fault.value ? `${name} is ${fault.value}: ${fault.want}` : `${name}: ${fault.want}`;
}

let unnamed = 0;

function beside(field, words) {
  if (!field.id) field.id = `at-${unnamed += 1}`;
  clear(field);
  const holder = field.closest(".gridded") ?? field.closest(".field, tr, .row, form, .headline") ?? field.parentElement;
  const note = noted(words, holder.tagName === "TR" ? "td" : "p");
  note.id = `${field.id}-fault`;
  if (holder.tagName === "TR") {
    const row = document.createElement("tr");
    row.className = "fault-row";
    note.colSpan = 9;
    row.append(note);
    row.dataset.of = note.id;
    holder.after(row);
  } else holder.append(note);
  if (field.matches("input, select")) {
    field.setAttribute("aria-invalid", "true");
    field.setAttribute("aria-errormessage", note.id);
  }
}

function noted(words, kind = "p") {
  const note = document.createElement(kind);
  note.className = "fault";
  note.textContent = words;
  note.setAttribute("role", "alert");
  return note;
}

function clear(field) {
  for (const own of field?.elements ?? []) clear(own);
  if (!field || !field.id) return;
  field.removeAttribute("aria-invalid");
  field.removeAttribute("aria-errormessage");
  const note = document.getElementById(`${field.id}-fault`);
  if (note) (note.closest("tr.fault-row") ?? note).remove();
}

function take(words, fields) {
  const fresh = new DOMParser().parseFromString(words, "text/html");
  const at = document.activeElement?.id;
  document.body.dataset.seen = fresh.body.dataset.seen;
  shapes(fresh, fields);
  for (const part of fresh.querySelectorAll("[data-part]")) {
    const old = document.querySelector(`[data-part="${part.dataset.part}"]`);
    if (!old || old.innerHTML === part.innerHTML) continue;
    const open = opened(old);
    old.innerHTML = part.innerHTML;
    reopen(open);
  }
  if (at && document.activeElement === document.body) (document.getElementById(at) ?? document.getElementById("place")).focus({ preventScroll: true });
  for (const button of fresh.querySelectorAll("[data-act]")) {
    const old = document.querySelector(`[data-act="${button.dataset.act}"]`);
    if (button.disabled && old === document.activeElement) document.getElementById("place").focus({ preventScroll: true });
    old.disabled = button.disabled;
  }
  for (const field of fresh.querySelectorAll("[data-path]")) follow(field);
}

function opened(within) { return [...within.querySelectorAll("details[open][id]")].map((each) => each.id); }

function reopen(ids) { for (const id of ids) document.getElementById(id)?.setAttribute("open", ""); }

function follow(fresh) {
  const old = document.getElementById(fresh.id);
  if (!old || old.hasAttribute("aria-invalid")) return;
  const isTyped = waiting.some((each) => each.fields.path === old.dataset.path)
    || (old === document.activeElement && old.matches("input") && old.dataset.typing === "yes");
  if (isTyped) return;
  if (old.type === "checkbox") old.checked = fresh.checked;
  else if (old.matches("input")) {
    if (old.value !== fresh.value) old.value = fresh.value;
    old.defaultValue = fresh.defaultValue;
  } else if (old.value !== fresh.value) old.value = fresh.value;
  if (old.dataset.path !== fresh.dataset.path) old.dataset.path = fresh.dataset.path;
}

// Where plies or wishes were added, moved or taken out the fields themselves change; the one at hand keeps the focus.
function shapes(fresh, fields) {
  for (const shape of fresh.querySelectorAll("[data-shape]")) {
    const old = document.getElementById(shape.id);
    if (!old || old.dataset.shape === shape.dataset.shape) continue;
    const id = document.activeElement?.id;
    const held = old.contains(document.activeElement), open = opened(old);
    old.replaceWith(shape.cloneNode(true));
    reopen(open);
    const next = document.getElementById(id);
    if (held) (next && !next.disabled ? next : document.getElementById(shape.id)).focus();
  }
  if (fields.edit === "move_ply") {
    const id = document.activeElement?.id.match(/^ply-(\d+)-(.+)$/);
    if (id && id[1] === String(fields.ply)) {
      const next = document.getElementById(`ply-${fields.to}-${id[2]}`);
      (next && !next.disabled ? next : document.getElementById(`ply-${fields.to}-angle`))?.focus();
    }
  }
}

async function hand(form, submitter) {
  for (const note of form.querySelectorAll(".fault")) (note.closest("tr.fault-row") ?? note).remove();
  for (const field of form.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
  const files = form.enctype === "multipart/form-data";
  const body = files ? new FormData(form, submitter) : new URLSearchParams(new FormData(form, submitter));
  let answer;
  try {
    answer = await fetch(form.action, { method: "POST", headers: { accept: "application/json, text/html" }, body });
  } catch {
    return formFault(form, [{ field: "", says: "The workshop's program does not answer; nothing was kept. Try again." }]);
  }
  if (answer.ok && "stay" in form.dataset) return look();
  if (answer.ok) return answer.redirected ? location.assign(arrived(answer.url)) : location.reload();
  let faults;
  try { faults = (await answer.json()).faults; } catch { faults = [{ field: "", says: "The program failed; nothing was kept." }]; }
  formFault(form, faults);
}

function formFault(form, faults) {
  for (const fault of faults) {
    const field = fieldOf(form, fault.field.replace(/^test(\.|, )/, ""));
    if (field) beside(field, sentence(field, { ...fault, value: fault.value && `'${field.value}'` }));
    else form.append(noted(fault.says));
  }
  form.querySelector("[aria-invalid]")?.focus();
  form.querySelector(".fault")?.scrollIntoView({ block: "nearest" });
}

// The field of a form that a fault speaks of; readings of a test are counted over the rows that were used.
function fieldOf(form, name) {
  const [, nth, what] = name.match(/^readings\[(\d+)\]\.(\w+)$/) ?? [];
  const used = [...form.querySelectorAll("[name^=reading_mm-]")].filter((each) => each.value.trim());
  const field = form.elements.namedItem(what && used[nth] ? `${what}-${used[nth].name.split("-")[1]}` : name);
  return field instanceof HTMLElement && !field.hidden && field.type !== "hidden" ? field : null;
}

// Where a form leads to; an address says by `kept` which entry it is about, as a redirect keeps no place on the page.
function arrived(address) {
  const kept = new URL(address).searchParams.get("kept");
  return kept ? `${address}#entry-${kept}` : address;
}

// The page as the workshop has it now, put in place without touching what is being typed.
async function look() {
  try {
    const shown = await fetch(location.href, { headers: { accept: "text/html" } });
    if (shown.ok) take(await shown.text(), {});
  } catch { /* the next edit says so */ }
}

function isAtWork() { return isSending() || document.querySelector("[data-typing], [aria-invalid]") !== null; }

function watch() {
  if (document.querySelector("[data-again]")) setTimeout(async () => { await look(); watch(); }, watched);
}

// Another window may have changed the pole while this one was out of sight.
function seenAgain() { if (document.body.dataset.seen && !document.hidden && !isAtWork()) look(); }

document.addEventListener("visibilitychange", seenAgain);
addEventListener("pageshow", (event) => { if (event.persisted) seenAgain(); });

// What was typed and not yet kept comes back with the page, beside a word that it is not kept.
const shelved = `typed ${location.pathname}${location.search}`;

addEventListener("pagehide", () => {
  const typed = [...document.querySelectorAll("input[data-path]:is([data-typing], [aria-invalid])")];
  if (typed.length) sessionStorage.setItem(shelved, JSON.stringify(typed.map((each) => [each.dataset.path, each.value])));
});

function unshelve() {
  const typed = JSON.parse(sessionStorage.getItem(shelved) ?? "[]");
  sessionStorage.removeItem(shelved);
  for (const [path, text] of typed) {
    const field = [...document.querySelectorAll("input[data-path]")].find((each) => each.dataset.path === path);
    if (!field || field.value === text) continue;
    field.value = text;
    beside(field, "Typed before, and not kept yet: Enter keeps it.");
    field.closest("details")?.setAttribute("open", "");
    field.focus();
  }
}

unshelve();
watch();
