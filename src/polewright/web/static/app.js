// @ts-check
// Every script of the pages; each listens for itself and does nothing on a page that has no use for it.

import "./vendor/htmx.esm.min.js";
import "./requests.js";
import "./edits.js";
import "./fields.js";
import "./page_update.js";
import "./refusals.js";
import "./forms.js";
import "./plies.js";
import "./keyboard.js";
import "./unsent.js";
import "./leaving.js";
import "./hold.js";
import "./wall_detail.js";
