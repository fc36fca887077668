// @ts-check
// Where the focus goes after an answer: to the ply that was moved, or near to where a control was taken away.

/** @typedef {{id: string, shape: string, moved: string}} Kept */

/** The place of the focus before an answer is put in. @param {import("./edits.js").Edit | undefined} edit @returns {Kept} */
export function keepFocus(edit) {
  const at = document.activeElement;
  const shape = at?.closest("[data-shape]")?.id ?? "";
  const ply = at?.id.match(/^ply-(\d+)-(.+)$/);
  const isMoved = edit?.fields.edit === "move_ply" && ply?.[1] === edit.fields.ply;
  return { id: at?.id ?? "", shape, moved: isMoved && edit && ply ? `ply-${edit.fields.to}-${ply[2]}` : "" };
}

/** Does nothing that can be used have the focus? */
export function isFocusLost() {
  const at = document.activeElement;
  return !at || at === document.body || at.matches(":disabled");
}

/** @param {Kept} kept */
export function moveFocus({ id, shape, moved }) {
  if (!id) return;
  const ply = moved.replace(/-\w+$/, "-angle");
  const next = [moved, ply, id, shape, "place"].map((each) => each && document.getElementById(each))
    .find((each) => each instanceof HTMLElement && !each.matches(":disabled"));
  if (next instanceof HTMLElement && next !== document.activeElement) next.focus({ preventScroll: next.id !== shape });
}
