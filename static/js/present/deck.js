// The screens of a case: those of the page, and those behind the stop points, which stay in memory,
// out of the document, until the presenter goes on.

import { fit } from "./fit.js";
import { here } from "./store.js";

export { fit };

const RETRIES = 3;
const wait = (milliseconds) => new Promise((done) => setTimeout(done, milliseconds));

/** The sections of a segment, cut out of a text. */
function sections(html) {
  const page = new DOMParser().parseFromString(html, "text/html");
  return [...page.querySelectorAll("section.screen")];
}

export class Deck {
  /** `place` holds the first screens; `told` is called with what has changed. */
  constructor(place, told) {
    const { deck, present, segments, to } = place.dataset;
    this.code = deck;
    this.address = present;
    this.told = told;
    this.count = Number(segments);
    // The page holds the segments up to this one.
    const first = Number(to);
    this.segments = new Array(this.count).fill(null);
    this.segments.fill([], 0, first);
    this.segments[first] = [...place.querySelectorAll("section.screen")];
    this.passed = first;
    this.at = 0;
    this.failed = false;
  }

  /** The screens that may be shown. */
  get screens() {
    return this.segments.slice(0, this.passed + 1).flat();
  }

  get current() {
    return this.screens[this.at];
  }

  get key() {
    return this.current?.dataset.key ?? "";
  }

  /** Whether the next screen lies behind a stop point. */
  get atStop() {
    return this.at === this.screens.length - 1 && this.passed + 1 < this.count;
  }

  get loaded() {
    return this.segments.every(Boolean);
  }

  /** Fetches all that is still missing, and every font, so that the server is not needed again. */
  async load() {
    this.failed = false;
    const fonts = Promise.allSettled([...(document.fonts ?? [])].map((font) => font.load()));
    const missing = this.segments.flatMap((segment, number) => (segment ? [] : [number]));
    await Promise.all(missing.map((number) => this.fetch(number)));
    await fonts;
    this.failed = !this.loaded;
    this.told("load");
  }

  async fetch(number) {
    for (let attempt = 0; attempt < RETRIES; attempt += 1) {
      try {
        const answer = await fetch(`${this.address}/segments/${number}`, { credentials: "same-origin", redirect: "error" });
        if (answer.ok) {
          this.segments[number] = sections(await answer.text());
          this.told("load");
          return;
        }
      } catch {
        // The cable may be out already; it may come back.
      }
      await wait(400 * (attempt + 1));
    }
  }

  get state() {
    if (this.loaded) return "All loaded: the cable can be pulled.";
    const there = this.segments.filter(Boolean).length;
    return this.failed
      ? `Not all loaded: ${there} of ${this.count} parts. Press R to try again.`
      : `Loading: ${there} of ${this.count} parts.`;
  }

  /** Goes on by one screen, past a stop point when it stands at one. Says what keeps it. */
  next() {
    if (this.at + 1 < this.screens.length) return this.go(this.at + 1);
    if (this.passed + 1 >= this.count) return "This is the last screen.";
    if (!this.segments[this.passed + 1]) return `What follows is not loaded. ${this.state}`;
    this.passed += 1;
    // A part without a screen is passed with the one before it.
    return this.at + 1 < this.screens.length ? this.go(this.at + 1) : this.next();
  }

  previous() {
    return this.at > 0 ? this.go(this.at - 1) : "This is the first screen.";
  }

  first() {
    return this.go(0);
  }

  /** The last screen before the next stop point is passed. */
  last() {
    return this.go(this.screens.length - 1);
  }

  /** To a screen by its number, from 1. */
  jump(number) {
    if (number >= 1 && number <= this.screens.length) return this.go(number - 1);
    return this.passed + 1 < this.count
      ? `Screen ${number} lies behind a stop point. Go on from the question to reach it.`
      : `There is no screen ${number}.`;
  }

  go(at) {
    this.at = at;
    here.write(`relook-at-${this.code}`, { key: this.key, passed: this.passed });
    this.told("move");
    return "";
  }

  /** Takes over where another window is. */
  follow({ key, passed }) {
    const reach = Math.min(Number(passed) || 0, this.count - 1);
    for (let next = this.passed + 1; next <= reach && this.segments[next]; next += 1) this.passed = next;
    const at = this.screens.findIndex((screen) => screen.dataset.key === key);
    if (at >= 0) this.go(at);
  }

  /** Where this window was before it was loaded again. */
  restore() {
    const before = here.read(`relook-at-${this.code}`);
    if (before) this.follow(before);
  }
}

/** Puts a screen on a stage as the only one, as large as it fits. */
export function put(stage, screen) {
  for (const other of stage.querySelectorAll(":scope > .screen.current")) other.classList.remove("current");
  if (screen.parentNode !== stage) stage.append(screen);
  screen.classList.add("current");
  fit(screen);
}
