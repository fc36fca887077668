// The wall one tap deeper: fetched when it is opened, and again whenever the design has changed while it stands open.

const deep = document.getElementById("deep");
let flying = false, dirty = false, shown = "";

if (deep) {
  const details = deep.querySelector("details");
  details.addEventListener("toggle", () => { if (details.open) ask(); });
  new MutationObserver(() => { if (details.open) ask(); })
    .observe(document.body, { attributes: true, attributeFilter: ["data-seen"] });
  if (details.open) ask();
}

async function ask() {
  dirty = true;
  if (flying) return;
  flying = true;
  while (dirty) {
    dirty = false;
    await one();
  }
  flying = false;
}

async function one() {
  const seen = document.body.dataset.seen;
  if (seen === shown) return;
  const told = deep.querySelector("[role=status]");
  told.textContent = "Working it out …";
  try {
    const answer = await fetch(deep.dataset.deep, { headers: { accept: "application/json, text/html" } });
    const words = await answer.text();
    if (!answer.ok) {
      const faults = JSON.parse(words).faults.map((fault) => fault.says).join(" ");
      told.textContent = shown ? `${faults} The figures are those of the last wall that works.` : faults;
      return;
    }
    put(words);
    shown = seen;
    told.textContent = "";
  } catch { told.textContent = "The workshop's program does not answer; nothing is shown yet."; }
}

function put(words) {
  const into = deep.querySelector(".deep-in");
  const open = [...into.querySelectorAll("details[open][id]")].map((each) => each.id);
  into.innerHTML = words;
  for (const id of open) document.getElementById(id)?.setAttribute("open", "");
}
