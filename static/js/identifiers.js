// What may identify somebody is marked while it is typed: a wavy line under the words, and under the field the
// reason and what could stand there instead. F8 puts that in. The server is asked at each pause, stores nothing,
// and finds the same again when the text is saved; without this script it is settled on the case's page.
//
// <form method="post" action="/cases/…"> <textarea> or <input> for words
import { announce } from "./page.js";

/** How long after the last key the server is asked, in milliseconds. */
const PAUSE = 450;
/** Findings that stand under a field; the marks show all of them. */
const LISTED = 4;

const WORDS = 'textarea, input[type="text"], input:not([type])';
const PLACES = /^\/(cases|record|conferences|actions|recurring|judgements)\b/;
const NOT_HERE = /\/identifiers\/|\/history\//;

export function enhance(root) {
  for (const field of root.querySelectorAll?.(WORDS) ?? []) if (holdsWords(field)) watch(field);
}

function holdsWords(field) {
  const form = field.form;
  if (!form || form.method !== "post" || field.dataset.names || field.dataset.looked) return false;
  if (field.localName === "input" && (field.matches(".time, .w-short, .w-mid, [inputmode], [role=combobox], [readonly], [data-keep]"))) return false;
  const path = new URL(form.getAttribute("action") ?? location.href, location.href).pathname;
  return PLACES.test(path) && !NOT_HERE.test(path);
}

/** Words that were left as they are, for as long as the page is open. */
const left = new Set();
let numbers = 0;

function watch(field) {
  field.dataset.looked = "yes";
  const own = { field, found: [], text: field.value, asked: 0, timer: 0, frame: 0 };
  own.marks = field.localName === "textarea" ? behind(field) : null;
  own.list = document.createElement("div");
  own.list.className = "found-list";
  own.list.id = `found-${++numbers}`;
  (own.marks?.parentNode ?? field).after(own.list);
  field.addEventListener("input", () => changed(own));
  field.addEventListener("scroll", () => own.marks && (own.marks.scrollTop = field.scrollTop), { passive: true });
  field.addEventListener("keydown", (event) => onKey(event, own));
  if (field.value.trim().length > 2) later(own, 0);
}

/** The layer behind a text area, in which the marks stand at the places of its words. */
function behind(field) {
  const box = document.createElement("div");
  box.className = "marked-text";
  const marks = document.createElement("div");
  marks.className = "marks";
  marks.setAttribute("aria-hidden", "true");
  const hadFocus = document.activeElement === field;
  field.replaceWith(box);
  box.append(marks, field);
  if (hadFocus) field.focus();
  return marks;
}

/** Moves what was found along with the text, drops what was typed into, and asks again at the next pause. */
function changed(own) {
  const text = own.field.value;
  if (own.found.length > 0) {
    const [start, oldEnd, shift] = difference(own.text, text);
    own.found = own.found
      .filter(({ start: from, end }) => end <= start || from >= oldEnd)
      .map((one) => (one.start >= oldEnd ? { ...one, start: one.start + shift, end: one.end + shift } : one));
    drawSoon(own);
  }
  own.text = text;
  later(own, PAUSE);
}

/** Where two texts differ: the first character, the end of the difference in the old one, and how far the rest moved. */
function difference(old, now) {
  const most = Math.min(old.length, now.length);
  let start = 0;
  while (start < most && old.charCodeAt(start) === now.charCodeAt(start)) start++;
  let same = 0;
  while (same < most - start && old.charCodeAt(old.length - 1 - same) === now.charCodeAt(now.length - 1 - same)) same++;
  return [start, old.length - same, now.length - old.length];
}

function later(own, pause) {
  clearTimeout(own.timer);
  own.timer = setTimeout(() => look(own), pause);
}

async function look(own) {
  const turn = ++own.asked;
  const text = own.field.value;
  const code = /\/cases\/(\d{4}-\d+)/.exec(own.field.form?.getAttribute("action") ?? location.pathname)?.[1] ?? "";
  try {
    const answer = await fetch("/identifiers/check", { method: "POST", credentials: "same-origin", redirect: "manual", body: new URLSearchParams({ text, code }) });
    // Typed on meanwhile: the next pause asks anew.
    if (!answer.ok || turn !== own.asked || own.field.value !== text) return;
    const found = await answer.json();
    if (turn !== own.asked || own.field.value !== text) return;
    const before = own.found.length;
    own.found = found.map((one) => ({ ...one, words: text.slice(one.start, one.end) })).filter(({ words }) => !left.has(words));
    own.text = text;
    drawSoon(own);
    const sure = own.found.filter((one) => one.sure).length;
    if (own.found.length > before && sure > 0 && document.activeElement === own.field) {
      announce(`${sure === 1 ? "One place" : `${sure} places`} may identify somebody. F8 puts other words in.`);
    }
  } catch {
    // No answer: the text is looked through when it is saved.
  }
}

function drawSoon(own) {
  cancelAnimationFrame(own.frame);
  own.frame = requestAnimationFrame(() => draw(own));
}

function draw(own) {
  drawMarks(own);
  const listed = own.found.slice(0, LISTED);
  own.list.replaceChildren(...listed.map((one) => line(own, one)));
  if (own.found.length > LISTED) {
    const more = document.createElement("p");
    more.className = "muted";
    more.textContent = `And ${own.found.length - LISTED} more, each with a line under it.`;
    own.list.append(more);
  }
}

function drawMarks({ marks, field, found }) {
  if (!marks) return;
  if (found.length === 0) return marks.replaceChildren();
  const text = field.value;
  const nodes = [];
  let at = 0;
  for (const one of found) {
    nodes.push(text.slice(at, one.start));
    const mark = document.createElement("span");
    mark.className = one.sure ? "found sure" : "found";
    mark.textContent = text.slice(one.start, one.end);
    nodes.push(mark);
    at = one.end;
  }
  // What follows the last mark moves none of them.
  marks.replaceChildren(...nodes);
  marks.scrollTop = field.scrollTop;
}

function line(own, one) {
  const row = document.createElement("p");
  const words = document.createElement("strong");
  words.textContent = `“${one.words}”`;
  row.append(words, ` ${one.why} Instead: ${one.instead}. `);
  if (one.put !== null) row.append(button(`Put “${one.put}”`, `Put “${one.put}” in the place of “${one.words}”`, () => accept(own, one)), " ");
  else row.append(button("Select it", `Select it: “${one.words}”`, () => accept(own, one)), " ");
  row.append(button("Leave it", `Leave it: “${one.words}”`, () => leave(own, one)));
  return row;
}

function button(text, label, act) {
  const own = document.createElement("button");
  own.type = "button";
  own.className = "button quiet";
  own.textContent = text;
  own.setAttribute("aria-label", label);
  own.addEventListener("click", act);
  return own;
}

/** Puts the words in that are proposed, so that Undo takes them back; where there are none, selects what was found. */
function accept(own, one) {
  const { field } = own;
  field.focus();
  field.setSelectionRange(one.start, one.end);
  if (one.put === null) return announce(`Selected. Instead: ${one.instead}.`);
  // The browser's own way to type, which its Undo knows.
  if (!document.execCommand("insertText", false, one.put)) {
    field.setRangeText(one.put, one.start, one.end, "end");
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }
  announce(`${one.put} stands there now.`);
}

function leave(own, one) {
  left.add(one.words);
  own.found = own.found.filter(({ words }) => words !== one.words);
  draw(own);
  own.field.focus();
}

/** F8: the finding that the caret is at, else the next one, else the first. */
function onKey(event, own) {
  if (event.key !== "F8" || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey || own.found.length === 0) return;
  event.preventDefault();
  const caret = own.field.selectionStart;
  accept(own, own.found.find(({ end }) => end >= caret) ?? own.found[0]);
}
