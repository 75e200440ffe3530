// The window that the audience sees.

import { fit, put } from "./deck.js";
import { keys } from "./keys.js";
import { buttons, start } from "./shared.js";
import { panel, showAnswers, showCode } from "./votes.js";

const foot = document.querySelector("[data-foot]");
const controls = document.querySelector("[data-controls]");
const codePlace = document.querySelector("[data-code]");
const dialog = document.querySelector("[data-vote-dialog]");
const AWAKE = 3000;
let window_;
let folded = false;
let sleep;

function show(what) {
  if (!window_) return queueMicrotask(() => window_ && show(what));
  const { deck, votes, place } = window_;
  const screen = deck.current;
  if (!screen) return;
  if (what === "code") folded = !folded;
  if (what === "move") {
    folded = false;
    put(place, screen);
    document.querySelector("[data-number]").textContent = String(deck.at + 1);
    controls.classList.toggle("awake", deck.at === 0 && !document.fullscreenElement);
  }
  document.querySelector("[data-load]").textContent = deck.state;
  showAnswers(screen, votes);
  showCode(codePlace, screen, votes, folded);
  panel(dialog.querySelector("[data-vote]"), screen, votes);
  fit(screen);
}

function wake() {
  clearTimeout(sleep);
  controls.classList.add("awake");
  sleep = setTimeout(() => controls.classList.toggle("awake", window_.deck.at === 0 && !document.fullscreenElement), AWAKE);
}

window_ = start(show);
window_.votes.leads = true;
foot.hidden = false;
const { deck, place, actions, tell } = window_;
const act = (name, number) => ({
  ...actions,
  full: () => (document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen().catch(() => tell("This browser shows no full screen here."))),
  presenter: () => {
    const address = new URL(`/cases/${deck.code}/presenter`, location.origin);
    address.searchParams.set("minutes", place.dataset.minutes);
    if (!open(address, `relook-presenter-${deck.code}`, "popup,width=1280,height=860")) tell("The browser kept the window back. Allow windows for this page.");
  },
  keys: () => document.querySelector("dialog[data-keys]").showModal(),
  vote: () => (dialog.querySelector("[data-vote]").childElementCount ? dialog.showModal() : tell("This screen asks nothing.")),
  leave: () => { location.href = `/cases/${deck.code}`; },
})[name]?.(number);
keys(act);
buttons(act);
addEventListener("mousemove", wake);
addEventListener("resize", () => show("move"));
document.addEventListener("fullscreenchange", () => show("move"));
show("move");
