// The time of day, and the time left of the case's box, in figures and in words.

import { here } from "./store.js";

const two = (number) => String(number).padStart(2, "0");

/** What is left of so many seconds, and what to say of it. */
export function left(total, gone) {
  const seconds = Math.round(total - gone);
  const size = Math.abs(seconds);
  const figures = `${seconds < 0 ? "−" : ""}${Math.floor(size / 60)}:${two(size % 60)}`;
  if (seconds < 0) return { figures, words: `Over by ${Math.max(1, Math.round(size / 60))} min` };
  if (seconds <= 60) return { figures, words: "One minute left" };
  if (seconds <= 300) return { figures, words: "Five minutes left: lessons and actions" };
  return { figures, words: "" };
}

/** Shows both; the time runs from `start()` on, also over a new load of the window. */
export function clock(code, minutes, parts) {
  const name = `relook-began-${code}`;
  let began = here.read(name);
  const show = () => {
    const now = new Date();
    parts.clock.textContent = `${two(now.getHours())}:${two(now.getMinutes())}`;
    const gone = began ? (now.getTime() - began) / 1000 : 0;
    const { figures, words } = left(minutes * 60, gone);
    parts.left.textContent = `${figures} left of ${minutes} min`;
    if (parts.over.textContent !== words) parts.over.textContent = words;
  };
  show();
  setInterval(show, 1000);
  return {
    get runs() {
      return Boolean(began);
    },
    start() {
      began ??= Date.now();
      here.write(name, began);
      show();
    },
    again() {
      began = Date.now();
      here.write(name, began);
      show();
    },
  };
}
