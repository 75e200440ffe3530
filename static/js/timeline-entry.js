// Adding rows to the timeline without the mouse: Enter saves the row, the drawing and the table come back
// fresh, and the time field of the next row waits. The form is the last row of the table:
//
// <tr data-add-row><td colspan=…><form data-rows method="post" action="/cases/2025-001/events">
import { NoAnswer, announce, ask, focusForm, insert, notSaved, reason, send, takeNotice, whileBusy } from "./page.js";
import { replaceSection, showsCase, takeCase } from "./in-place.js";

export function start() {
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("form[data-rows]") || event.defaultPrevented) return;
    event.preventDefault();
    whileBusy(form, () => add(form, event.submitter));
  });
  document.addEventListener("keydown", onKey);
}

function onKey(event) {
  if (event.defaultPrevented || event.metaKey || event.ctrlKey || event.altKey || event.shiftKey || event.isComposing) return;
  const form = event.target.closest?.("form[data-rows]");
  if (!form) return;
  // A text field sends its form by Enter of itself; a select does not.
  if (event.key === "Enter" && event.target.matches("select")) {
    event.preventDefault();
    form.requestSubmit();
  }
  if (event.key === "ArrowUp" && event.target.matches('[name="at"]')) {
    const links = form.closest("table")?.querySelectorAll(".c-edit a");
    if (links?.length) {
      event.preventDefault();
      links[links.length - 1].focus();
    }
  }
}

/** The answer to a new row is the timeline alone; the rest of the case says something new as well. */
async function freshenCase(own) {
  try {
    const { status, doc } = await ask(location.pathname);
    if (status === 200) takeCase(doc, own);
  } catch (error) {
    // The row is saved; only the rest of the page is as old as it was.
    if (!(error instanceof NoAnswer)) throw error;
  }
}

async function add(form, submitter) {
  let answer;
  try {
    answer = await send(form, submitter);
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
    return notSaved(form, "the server did not answer.");
  }
  const section = document.getElementById("timeline");
  const fresh = answer.doc.getElementById("timeline");
  if (answer.status === 200 && fresh && section) {
    const own = replaceSection(section, fresh);
    takeNotice(answer.doc);
    own.querySelector('form[data-rows] [name="at"]')?.focus();
    if (showsCase()) await freshenCase(own);
    return;
  }
  const row = answer.doc.querySelector("tr[data-add-row]");
  if (answer.status === 422 && row) {
    const own = insert(row, (node) => form.closest("tr").replaceWith(node));
    focusForm(own);
    const error = own.querySelector(".error");
    if (error) announce(`Not saved. ${error.textContent}`);
    return;
  }
  notSaved(form, reason(answer));
}
