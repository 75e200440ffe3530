// A few letters for people who come here every day. They are listed on "?", can be turned off there, and
// never act while a field has the focus or a modifier is held, so nothing is taken from the browser.
//
// <template id="keys"> in the page holds the list; only letters that are listed act.

const PATHS = { "g o": "/", "g c": "/cases", "g l": "/library", "g r": "/rates", n: "/record" };
const OFF = "relook-keys-off";
/** How long the second letter of a pair may take, in milliseconds. */
const PAIR_MS = 1200;

let first = "";
let timer = 0;

export function start() {
  const template = document.getElementById("keys");
  if (!template) return;
  document.addEventListener("keydown", (event) => onKey(event, template));
  for (const button of document.querySelectorAll("[data-keys-open]")) {
    button.hidden = false;
    button.addEventListener("click", () => show(template));
  }
}

const isOff = () => localStorage.getItem(OFF) !== null;

function onKey(event, template) {
  if (isOff() || event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
  if (event.target.closest?.("input, select, textarea, button, summary, dialog, [contenteditable], [role='listbox']")) return;
  const pressed = first ? `${first} ${event.key}` : event.key;
  clearTimeout(timer);
  first = "";
  if (pressed === "?") {
    event.preventDefault();
    return show(template);
  }
  if (pressed === "g") {
    first = "g";
    timer = setTimeout(() => (first = ""), PAIR_MS);
    return;
  }
  const link = document.querySelector(`a[data-key="${CSS.escape(pressed)}"]`);
  const path = link?.href ?? PATHS[pressed];
  if (path && listed(template, pressed)) {
    event.preventDefault();
    location.assign(path);
  }
}

/** Whether the page lists these letters, so that nobody is sent where their role may not go. */
function listed(template, pressed) {
  const terms = [...template.content.querySelectorAll("dt")];
  return terms.some((term) => term.textContent.trim().replace(/\s+/g, " ") === pressed);
}

function show(template) {
  const dialog = document.createElement("dialog");
  dialog.className = "keys-dialog";
  dialog.setAttribute("aria-labelledby", "keys-title");
  const title = document.createElement("h2");
  title.id = "keys-title";
  title.textContent = "Keys";
  const buttons = document.createElement("div");
  buttons.className = "buttons";
  const close = button("Close", "button", () => dialog.close());
  const turn = button(isOff() ? "Turn the letters on" : "Turn the letters off", "button quiet", () => {
    if (isOff()) localStorage.removeItem(OFF);
    else localStorage.setItem(OFF, "yes");
    dialog.close();
  });
  buttons.append(close, turn);
  dialog.append(title, template.content.cloneNode(true), buttons);
  dialog.addEventListener("close", () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
  close.focus();
}

function button(text, className, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = className;
  made.textContent = text;
  made.addEventListener("click", act);
  return made;
}
