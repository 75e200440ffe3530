// The presenter's window: this screen and the next, small; notes, time, answers, all screens.

import { awake } from "./awake.js";
import { clock } from "./clock.js";
import { put } from "./deck.js";
import { keys } from "./keys.js";
import { buttons, start } from "./shared.js";
import { asked, panel, showAnswers } from "./votes.js";

const find = (name) => document.querySelector(`[data-${name}]`);
let window_;

/** A copy for a small stage: ids stay with the one that is shown. */
function copy(screen) {
  const made = screen.cloneNode(true);
  made.removeAttribute("id");
  made.removeAttribute("tabindex");
  for (const part of made.querySelectorAll("[id]")) part.removeAttribute("id");
  for (const part of made.querySelectorAll("svg")) part.setAttribute("aria-hidden", "true");
  return made;
}

function small(place, screen, votes) {
  const made = copy(screen);
  // The answers take room too: text is fitted round them.
  showAnswers(made, votes);
  place.replaceChildren();
  put(place, made);
}

function heldBack(place, sentence) {
  const line = document.createElement("p");
  line.className = "held-back";
  line.textContent = sentence;
  place.replaceChildren(line);
}

function list(deck) {
  const rows = deck.screens.map((screen, at) => {
    const button = document.createElement("button");
    button.type = "button";
    button.dataset.do = "jump";
    button.dataset.to = String(at + 1);
    button.textContent = `${at + 1}. ${screen.querySelector("h2").textContent}`;
    if (at === deck.at) button.setAttribute("aria-current", "true");
    const row = document.createElement("li");
    row.append(button);
    return row;
  });
  if (deck.passed + 1 < deck.count) {
    const row = document.createElement("li");
    row.className = "behind";
    row.textContent = "What comes after the stop point is listed once you go on.";
    rows.push(row);
  }
  const held = find("jump").contains(document.activeElement);
  find("jump").replaceChildren(...rows);
  // The list alone is moved, never the window round it.
  const box = find("jump").closest("nav");
  const row = find("jump").querySelector("[aria-current]");
  if (row) box.scrollTop = row.offsetTop - box.offsetTop - box.clientHeight / 2;
  if (row && held) row.focus({ preventScroll: true });
}

function show(what) {
  if (!window_) return queueMicrotask(() => window_ && show(what));
  const { deck, votes } = window_;
  const screen = deck.current;
  if (!screen) return;
  find("load").textContent = deck.state;
  if (what === "move") awake();
  if (what === "move" || what === "votes") {
    small(find("now"), screen, votes);
    const next = deck.screens[deck.at + 1];
    if (next) small(find("next"), next, votes);
    else heldBack(find("next"), deck.atStop ? "The room decides. What was chosen is not shown here either, until you go on." : "This is the last screen.");
    find("number").textContent = `(${deck.at + 1})`;
    find("notes-now").textContent = screen.querySelector("template[data-notes]")?.content.textContent || "No notes.";
    list(deck);
  }
  document.querySelector("[data-vote-part]").hidden = !asked(screen);
  panel(find("vote"), screen, votes);
}

window_ = start(show);
const { deck, actions, place } = window_;
find("grid").hidden = false;
const time = clock(deck.code, Number(place.dataset.minutes), { clock: find("clock"), left: find("left"), over: find("over") });
const act = (name, number) => {
  // The time runs from the first step.
  if (name === "on" && !time.runs) time.start();
  return ({
    ...actions,
    start: () => time.start(),
    again: () => { time.again(); actions.first(); },
  })[name]?.(number);
};
keys(act);
buttons(act);
show("move");
