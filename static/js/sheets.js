// The pages of paper and printer: answers are merged round what is typed and not sent.

import "./submit.js";
import "./turns.js";

document.documentElement.dataset.ready = "yes";
