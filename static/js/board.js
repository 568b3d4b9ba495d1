// The board page: pointers and keys. Everything that is decided is decided by the server.

import "./drag.js";
import "./fingers.js";
import "./focus.js";
import "./grid.js";
import "./keys.js";
import "./layers.js";
import "./live.js";
import "./roving.js";
import "./submit.js";
import "./tile.js";
import "./view_bar.js";
import "./ways.js";
import "./windows.js";
import "./zoom.js";

// For whoever drives the page by program: from here on it answers.
document.documentElement.dataset.ready = "yes";
