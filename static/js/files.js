// A file that is made on request: says that it is being made, how long already, and how much came, with a way
// to stop it. <a data-file href="…" download>Word</a>. Without this script the link does as links do.
import { NoAnswer, ask } from "./page.js";

/** How long nothing is said, in milliseconds: most files are there before. */
const QUIET = 1000;
/** From how many bytes on it is worth telling how many came. */
const LARGE = 200_000;

/** Addresses of files that are on their way. */
const busy = new Set();

export function start() {
  document.addEventListener("click", onClick);
}

function onClick(event) {
  if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
  const link = event.target.closest?.("a[data-file]");
  if (!link || link.origin !== location.origin) return;
  event.preventDefault();
  if (!busy.has(link.href)) take(link);
}

async function take(link) {
  const { href } = link;
  const name = link.textContent.trim();
  const line = new Line(link, name);
  busy.add(href);
  try {
    const response = await fetch(href, { credentials: "same-origin", signal: line.signal });
    const file = nameOf(response);
    if (!file) {
      // Held back, signed out, gone: the page that says so is better than words of ours.
      line.end("");
      return location.assign(href);
    }
    const blob = await received(response, line);
    save(blob, file);
    line.end(`“${file}” is made: ${size(blob.size)}. Your browser keeps it with its downloads.`);
    await noteMade(link);
  } catch (error) {
    if (error.name === "AbortError") line.end(`${name}: stopped. No file was made.`);
    else if (error instanceof TypeError) line.end(`${name}: the server did not answer, or not to the end. Try again in a moment.`);
    else throw error;
  } finally {
    busy.delete(href);
  }
}

/** What the server calls the file; nothing where the answer is no file. */
function nameOf(response) {
  const says = response.headers.get("Content-Disposition") ?? "";
  return response.ok && says.startsWith("attachment") ? /filename="([^"]+)"/.exec(says)?.[1] : undefined;
}

/** The bytes of an answer, which are counted as they come. */
async function received(response, line) {
  const parts = [];
  const reader = response.body.getReader();
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return new Blob(parts, { type: response.headers.get("Content-Type") ?? "" });
    parts.push(value);
    line.came(value.length);
  }
}

function save(blob, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  // The browser reads it after this turn; a minute is long for that.
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

/** A number of bytes in words, as the server says it. */
function size(bytes) {
  if (bytes < 1000) return `${bytes} bytes`;
  return bytes < 1_000_000 ? `${Math.round(bytes / 1000)} KB` : `${(Math.floor(bytes / 100_000) / 10).toFixed(1)} MB`;
}

/** Takes over what the page says now of the file: how large it was and when it was made. */
async function noteMade(link) {
  const meta = link.closest("li")?.querySelector(".item-meta");
  if (!meta) return;
  try {
    const { doc } = await ask(location.href);
    const twin = [...doc.querySelectorAll("a[data-file]")].find(({ href }) => href === link.href);
    const said = twin?.closest("li").querySelector(".item-meta");
    if (said) meta.textContent = said.textContent;
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
  }
}

/** The line under a link. What is read aloud is said once; the seconds and bytes are there to be seen. */
class Line {
  #aborter = new AbortController();
  #began = performance.now();
  #bytes = 0;
  #count = document.createElement("span");
  #stop = document.createElement("button");
  #words = document.createElement("span");
  #line = document.createElement("p");
  #timer;

  constructor(link, name) {
    this.link = link;
    const place = link.closest("li") ?? link.closest("p");
    // One line for a place: what was said of the file before is over.
    const before = place.matches("li") ? place.querySelector(".file-line") : place.parentElement.querySelector(".file-line");
    if (before && !before.dataset.busy) before.remove();
    this.#words.setAttribute("role", "status");
    this.#count.setAttribute("aria-hidden", "true");
    this.#stop.type = "button";
    this.#stop.className = "button";
    this.#stop.textContent = "Stop";
    this.#stop.setAttribute("aria-label", `Stop: ${name}`);
    this.#stop.addEventListener("click", () => this.#aborter.abort());
    this.#line.className = "file-line no-print";
    this.#line.dataset.busy = "yes";
    this.#line.append(this.#words, this.#count, this.#stop);
    this.#count.hidden = this.#stop.hidden = true;
    if (place.matches("li")) place.append(this.#line);
    else place.after(this.#line);
    this.#timer = setInterval(() => this.#show(name), QUIET);
  }

  get signal() {
    return this.#aborter.signal;
  }

  came(bytes) {
    this.#bytes += bytes;
  }

  #show(name) {
    const seconds = Math.floor((performance.now() - this.#began) / 1000);
    const large = this.#bytes >= LARGE;
    const words = `${large ? "Receiving" : "Making"} “${name}” …`;
    if (this.#words.textContent !== words) this.#words.textContent = words;
    this.#count.textContent = large ? `${size(this.#bytes)}, ${seconds} s` : `${seconds} s`;
    this.#count.hidden = this.#stop.hidden = false;
  }

  end(words) {
    clearInterval(this.#timer);
    // Whoever pressed Stop goes on where they began.
    if (this.#line.contains(document.activeElement)) this.link.focus();
    delete this.#line.dataset.busy;
    this.#count.remove();
    this.#stop.remove();
    this.#words.textContent = words;
    if (!words) this.#line.remove();
  }
}
