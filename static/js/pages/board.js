// The board page: pointers and keys. Everything that is decided is decided by the server.

import "../drawing/drag.js";
import "../drawing/fingers.js";
import "../forms/focus.js";
import "../drawing/grid.js";
import "../drawing/keys.js";
import "../drawing/layers.js";
import "../live.js";
import "../drawing/roving.js";
import "../forms/submit.js";
import "../drawing/tile.js";
import "../drawing/view_bar.js";
import "./ways.js";
import "../windows.js";
import "../drawing/zoom.js";

// For whoever drives the page by program: from here on it answers.
document.documentElement.dataset.ready = "yes";
