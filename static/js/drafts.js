// What is typed into a form is kept on the server while it is typed, and offered when the form is opened again.
//
// <form data-edit action="/cases/2026-001/narrative"> with at least one textarea. While the server cannot take a
// draft (it is away, or one is signed out), the text is kept in this window instead.
// Nothing is kept of a form within [data-no-draft]: what it belongs to waits for half an hour alone.
import { announce } from "./page.js";

/** How long after the last key a draft is sent, in milliseconds. */
const PAUSE = 1200;
const PREFIX = "relook-draft:";

const timers = new WeakMap();
const sent = new WeakMap();

export function start() {
  document.addEventListener("input", ({ target }) => later(target.closest?.("form[data-edit]")));
  document.addEventListener("change", ({ target }) => later(target.closest?.("form[data-edit]")));
  document.addEventListener("submit", ({ target }) => forget(target));
  document.addEventListener("relook:inserted", ({ target }) => offerIn(target));
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden") document.querySelectorAll("form[data-edit]").forEach(flush);
  });
  offerIn(document);
}

/** Whether a form holds what is worth keeping, and nothing that is never kept: a secret, a log with clock times. */
const isKept = (form) => form.method === "post" && !form.closest("[data-no-draft]") && form.querySelector("textarea") && !form.querySelector('input[type="password"], [data-never-kept]');

const actionOf = (form) => new URL(form.getAttribute("action") ?? location.href, location.href).pathname;
const pageOf = (form) => form.dataset.page ?? location.pathname + location.search;
const fieldsOf = (form) => new URLSearchParams(new FormData(form)).toString();

function titleOf(form) {
  const own = form.querySelector(":scope > .form-title")?.textContent;
  const section = form.closest("section[id]")?.querySelector("h2")?.textContent;
  const page = document.querySelector("h1")?.textContent ?? document.title;
  const belongs = document.querySelector(".page-head .eyebrow")?.textContent;
  return [belongs, page, own ?? section].filter(Boolean).join(": ");
}

function later(form) {
  if (!form || !isKept(form)) return;
  if (!sent.has(form)) sent.set(form, "");
  clearTimeout(timers.get(form));
  timers.set(form, setTimeout(() => keep(form), PAUSE));
}

/** Sends at once what still waits. */
function flush(form) {
  if (!timers.has(form)) return;
  clearTimeout(timers.get(form));
  keep(form, true);
}

function forget(form) {
  clearTimeout(timers.get(form));
  timers.delete(form);
}

async function keep(form, keepalive = false) {
  timers.delete(form);
  const action = actionOf(form);
  const fields = fieldsOf(form);
  if (sent.get(form) === fields) return;
  sent.set(form, fields);
  const body = new URLSearchParams({ action, page: pageOf(form), title: titleOf(form), fields });
  let status = 0;
  try {
    status = (await fetch("/drafts", { method: "POST", credentials: "same-origin", redirect: "manual", keepalive, body })).status;
  } catch {
    // No answer: the server is away.
  }
  if (status === 204) {
    sessionStorage.removeItem(PREFIX + action);
    return told(form, `Kept as a draft ${clock()}; not saved yet.`);
  }
  sent.delete(form);
  try {
    sessionStorage.setItem(PREFIX + action, JSON.stringify({ at: clock(), fields }));
  } catch {
    return told(form, "Not kept: neither the server nor this window takes it. Copy your text before you leave.");
  }
  told(form, status === 401 || status === 0 ? `${status ? "You are signed out" : "The server did not answer"}: your text is kept in this window only.` : "Your text is kept in this window only.");
}

const clock = () => new Date().toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });

/** Says quietly, under the buttons, what became of the text. */
function told(form, text) {
  if (!form.isConnected) return;
  let line = form.querySelector(":scope > .draft-state");
  if (!line) {
    line = document.createElement("p");
    line.className = "draft-state muted small";
    form.append(line);
  }
  line.textContent = text;
}

function offerIn(root) {
  const forms = root.matches?.("form[data-edit]") ? [root] : (root.querySelectorAll?.("form[data-edit]") ?? []);
  for (const form of forms) offer(form);
}

/** Offers the draft of a form that was just opened. A form that came back marked holds what was typed already. */
async function offer(form) {
  if (!isKept(form) || form.dataset.draft || form.closest("[data-stale]") || document.querySelector(".error-summary")) return;
  form.dataset.draft = "asked";
  const action = actionOf(form);
  const draft = here(action) ?? (await there(action));
  if (!draft || draft.fields === fieldsOf(form) || sent.has(form)) return;
  const note = document.createElement("div");
  note.className = "draft-offer";
  note.setAttribute("role", "status");
  const line = document.createElement("p");
  line.textContent = `You typed something here on ${draft.at} and did not save it.`;
  const back = button("Bring it back", () => {
    fill(form, draft.fields);
    note.remove();
    announce("What you typed is back.");
    form.querySelector("textarea")?.focus();
    later(form);
  });
  const away = button("Discard it", () => {
    note.remove();
    sessionStorage.removeItem(PREFIX + action);
    fetch("/drafts/discard", { method: "POST", credentials: "same-origin", redirect: "manual", body: new URLSearchParams({ action }) }).catch(() => {});
  });
  note.append(line, back, away);
  form.prepend(note);
}

function button(text, act) {
  const own = document.createElement("button");
  own.type = "button";
  own.className = "button quiet";
  own.textContent = text;
  own.addEventListener("click", act);
  return own;
}

function here(action) {
  try {
    return JSON.parse(sessionStorage.getItem(PREFIX + action));
  } catch {
    return null;
  }
}

async function there(action) {
  try {
    const answer = await fetch(`/drafts/form?${new URLSearchParams({ action })}`, { credentials: "same-origin", redirect: "manual" });
    return answer.status === 200 ? await answer.json() : null;
  } catch {
    return null;
  }
}

/** Puts the values of a draft into a form. What the form was opened on comes back too, so that a save over somebody else's is still noticed. */
function fill(form, encoded) {
  const values = new URLSearchParams(encoded);
  for (const field of form.elements) {
    if (!field.name || field.type === "submit" || field.type === "button") continue;
    const held = values.getAll(field.name);
    if (field.type === "checkbox" || field.type === "radio") field.checked = held.includes(field.value);
    else if (held.length > 0) field.value = held[0];
    else if (field.type !== "hidden") field.value = "";
    field.dispatchEvent(new Event("change", { bubbles: true }));
  }
}
