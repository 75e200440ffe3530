// Editing a section where it stands.
//
// <section id="patient"> … <a data-in-place href="/cases/2025-001/patient/edit">Edit</a>
// The link's page holds <form data-edit>; the form takes the place of the section's body, or, when the link
// stands in a table row or in an item with data-row, of that. Without this script the link and the form are pages of their own.
import { NoAnswer, ask, focusForm, insert, notSaved, reason, say, send, setApart, takeNotice, whileBusy } from "./page.js";

/** Where a form stands now: its holder, what it hides, the link that opened it, its first content. */
const places = new WeakMap();
/** Forms that were put aside with changes in them, by the address of their link. */
const aside = new Map();

export function start() {
  document.addEventListener("click", onClick);
  document.addEventListener("submit", onSubmit);
  document.addEventListener("keydown", onKey);
}

function onClick(event) {
  if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
  const cancel = event.target.closest("a[data-cancel]");
  const holder = cancel?.closest("[data-place]");
  if (holder) {
    event.preventDefault();
    return restore(holder);
  }
  const link = event.target.closest("a[data-in-place]");
  if (!link?.closest("section[id]")) return;
  event.preventDefault();
  open(link);
}

function onKey(event) {
  if (event.key !== "Escape" || event.defaultPrevented) return;
  const holder = event.target.closest?.("[data-place]");
  if (!holder) return;
  event.preventDefault();
  restore(holder);
}

async function open(link) {
  const kept = aside.get(link.href);
  if (kept) {
    aside.delete(link.href);
    return place(link, kept.form, kept.first);
  }
  try {
    const answer = await ask(link.href);
    const form = answer.doc.querySelector("form[data-edit]");
    // The section may have come back fresh while the form was on its way.
    const own = link.isConnected ? link : sameLink(document, link);
    if (answer.status === 200 && form && own) {
      setApart(form);
      form.dataset.page = own.getAttribute("href");
      entitle(form, answer.doc, own);
      return place(own, form);
    }
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
    return say("The server did not answer. Try again in a moment.");
  }
  // Signed out, or not a form of this kind: let the browser show what the server says.
  location.assign(link.href);
}

/** Says over the form what its page is called, where the section it stands in does not say it. */
function entitle(form, doc, link) {
  const title = doc.querySelector("h1")?.textContent.trim();
  const section = link.closest("section[id]").querySelector("h2")?.textContent.trim();
  if (!title || title === section) return;
  const line = document.createElement("p");
  line.className = "form-title";
  line.textContent = title;
  form.prepend(line);
}

/** Puts `form` in the place of the row or the section body that `link` belongs to. */
function place(link, form, first) {
  const row = link.closest("tr, li[data-row]");
  const section = link.closest("section[id]");
  const holder = row ? rowHolder(row) : bodyHolder();
  const hidden = row ? [row] : [...section.querySelectorAll(":scope > .part-body:not([data-place]), :scope > .part-head .edit")];
  const slot = row ? holder.firstElementChild : holder;
  const other = section.querySelector(":scope > [data-place]");
  if (other && !row) restore(other, { focus: false });
  for (const node of hidden) node.hidden = true;
  (row ?? section.querySelector(":scope > .part-body:last-of-type") ?? section.lastElementChild).after(holder);
  const own = insert(form, (node) => slot.replaceChildren(node));
  places.set(holder, { link, hidden, section, first: first ?? written(own) });
  focusForm(own);
}

function bodyHolder() {
  const holder = document.createElement("div");
  holder.className = "part-body";
  holder.dataset.place = "section";
  return holder;
}

function rowHolder(row) {
  const holder = document.createElement(row.localName);
  holder.className = "edit-row";
  holder.dataset.place = "row";
  const cell = document.createElement(row.localName === "tr" ? "td" : "div");
  if (row.cells) cell.colSpan = [...row.cells].reduce((sum, { colSpan }) => sum + colSpan, 0);
  holder.append(cell);
  return holder;
}

/** What a form holds, as one comparable text. */
const written = (form) => new URLSearchParams(new FormData(form)).toString();

/** Takes the form away again. Changes in it are put aside, not lost. */
function restore(holder, { focus = true } = {}) {
  const { link, hidden, first } = places.get(holder);
  const form = holder.querySelector("form[data-edit]");
  if (form && written(form) !== first) {
    aside.set(link.href, { form, first });
    say("Your changes are put aside. Edit brings them back.");
  }
  holder.remove();
  for (const node of hidden) node.hidden = false;
  if (focus) link.focus();
}

function onSubmit(event) {
  const form = event.target;
  const holder = form.closest("[data-place]");
  if (!holder || !form.matches("[data-edit]") || event.defaultPrevented) return;
  event.preventDefault();
  whileBusy(form, () => save(form, holder, event.submitter));
}

async function save(form, holder, submitter) {
  const { section } = places.get(holder);
  let answer;
  try {
    answer = await send(form, submitter);
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
    return notSaved(form, "the server did not answer.");
  }
  const fresh = answer.doc.getElementById(section.id);
  if (answer.status === 200 && fresh) return saved(answer.doc, section, fresh, holder);
  const again = answer.doc.querySelector("[data-stale], form[data-edit]");
  if ((answer.status === 422 || answer.status === 409) && again) return showAgain(answer.doc, again, holder);
  notSaved(form, reason(answer));
}

function saved(doc, section, fresh, holder) {
  const { link } = places.get(holder);
  const isRow = holder.dataset.place === "row";
  holder.remove();
  const own = replaceSection(section, fresh);
  takeNotice(doc);
  takeCase(doc, own);
  const rowLink = isRow && sameLink(own, link);
  const heading = own.querySelector("h2, h3") ?? own;
  if (!rowLink) heading.tabIndex = -1;
  (rowLink || heading).focus();
}

/** The link to the same form in a fresh section or page. A row's number may have changed; its address has not. */
const sameLink = (root, link) => [...root.querySelectorAll("a[data-in-place]")].find(({ href }) => href === link.href);

/** Shows the form that the server sent back: with marked fields, or with both versions. */
function showAgain(doc, again, holder) {
  const slot = holder.dataset.place === "row" ? holder.firstElementChild : holder;
  const summary = doc.querySelector(".error-summary");
  setApart(...(summary && !again.contains(summary) ? [again, summary] : [again]));
  const own = insert(again, (node) => slot.replaceChildren(node));
  if (summary && !own.querySelector(".error-summary")) own.before(document.adoptNode(summary));
  (slot.querySelector(".error-summary") ?? (own.matches("[data-stale]") ? own : null))?.focus();
  if (!slot.contains(document.activeElement)) focusForm(own);
}

/** The head of the page of a case: its title, its state, the one thing to do next. */
const headOf = (doc) => doc.getElementById("case-status")?.closest("header");

/**
 * Takes over what a fetched page of the case says beside the section that was saved: its head, what is
 * missing, the numbers of events elsewhere. A section in which somebody is typing stays as it is.
 */
export function takeCase(doc, saved) {
  const head = headOf(document);
  const fresh = headOf(doc);
  if (!head || !fresh) return;
  insert(fresh, (node) => head.replaceWith(node));
  for (const section of document.querySelectorAll("main > section[id]")) {
    const other = doc.getElementById(section.id);
    if (section === saved || isInUse(section)) continue;
    if (!other) section.remove();
    else if (other.innerHTML !== section.innerHTML) replaceSection(section, other);
  }
}

/** Whether a form stands open in a section, or something is typed into it that is not saved. */
function isInUse(section) {
  if (section.contains(document.activeElement) || section.querySelector("[data-place]")) return true;
  const fields = [...section.querySelectorAll("input:not([data-keep]), textarea")];
  return fields.some(({ value, defaultValue }) => value !== defaultValue);
}

/** Whether the page shows a whole case, which a save of one part of it changes elsewhere too. */
export const showsCase = () => headOf(document) !== undefined;

/**
 * Puts the fresh section in the place of the old one. Rows that are being edited, and fields marked
 * `data-keep` (the clock time of time zero, which the server never stores), are carried over.
 */
export function replaceSection(section, fresh) {
  const kept = [...section.querySelectorAll("[data-keep]")].filter((field) => field.value);
  const rows = [...section.querySelectorAll("tr[data-place]")];
  const own = insert(fresh, (node) => section.replaceWith(node));
  for (const field of kept) {
    const twin = own.querySelector(`[data-keep][name="${CSS.escape(field.name)}"]`);
    if (!twin) continue;
    twin.value = field.value;
    const closed = twin.closest("details");
    if (closed) closed.open = true;
  }
  for (const holder of rows) {
    const link = sameLink(own, places.get(holder).link);
    const row = link?.closest("tr, li[data-row]");
    if (!row) continue;
    row.hidden = true;
    row.after(holder);
    places.set(holder, { ...places.get(holder), link, hidden: [row], section: own });
  }
  return own;
}
