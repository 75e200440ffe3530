// The one script of every page. Each part improves a page that already works without it.
import { enhance as chooser } from "./chooser.js";
import { start as inPlace } from "./in-place.js";
import { start as timelineEntry } from "./timeline-entry.js";
import { start as keys } from "./keys.js";
import { start as filter } from "./filter.js";
import { start as drafts } from "./drafts.js";
import { start as files } from "./files.js";
import { enhance as statement } from "./statement.js";
import { enhance as identifiers } from "./identifiers.js";

for (const enhance of [chooser, statement, identifiers]) {
  enhance(document);
  document.addEventListener("relook:inserted", (event) => enhance(event.target));
}
inPlace();
timelineEntry();
keys();
filter();
drafts();
files();
