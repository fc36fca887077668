// @ts-check
// Texts that the scripts show. The page brings them in its own language; no script holds any.

/**
 * @param {string} code name of a data attribute of the template `script-texts`
 * @param {Record<string, string>} [values] what stands for {name} in the text
 */
export function text(code, values = {}) {
  const pattern = document.getElementById("script-texts")?.dataset[code] ?? code;
  return pattern.replace(/\{(\w+)\}/g, (_, name) => values[name] ?? "");
}

/** Put a text into the status line of the page. @param {string} message */
export function showStatus(message) {
  const status = document.getElementById("status");
  if (status) status.textContent = message;
}
