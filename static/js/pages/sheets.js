// The pages of paper and printer: answers are merged round what is typed and not sent.

import "../forms/submit.js";
import "../forms/turns.js";

document.documentElement.dataset.ready = "yes";
