// The one script of every page. Each part improves a page that already works without it.
import { enhance as chooser } from "./chooser.js";
import { start as inPlace } from "./in-place.js";
import { start as timelineEntry } from "./timeline-entry.js";
import { start as keys } from "./keys.js";
import { start as filter } from "./filter.js";

chooser(document);
document.addEventListener("relook:inserted", (event) => chooser(event.target));
inPlace();
timelineEntry();
keys();
filter();
