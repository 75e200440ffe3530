// The page on which a meeting is held: a form is saved where it stands, so that what is typed into the others
// stays. Without this script each save loads the page anew at the same place.
//
// <section id="case-2026-004" data-own> … <form data-small> … The server answers with the whole page, also when
// something is wrong; the part of the same id takes the place of this one.
import { NoAnswer, insert, notSaved, reason, send, takeNotice, whileBusy } from "./page.js";

document.addEventListener("submit", (event) => {
  const form = event.target;
  const part = form.closest("[data-own]");
  if (!part?.id || !form.matches("form[data-small]") || event.defaultPrevented) return;
  event.preventDefault();
  whileBusy(form, () => save(form, part, event.submitter));
});

async function save(form, part, submitter) {
  let answer;
  try {
    answer = await send(form, submitter);
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
    return notSaved(form, "the server did not answer.");
  }
  const fresh = answer.doc.getElementById(part.id);
  if (![200, 409, 422].includes(answer.status) || !fresh) return notSaved(form, reason(answer));
  const own = insert(fresh, (node) => part.replaceWith(node));
  takeNotice(answer.doc);
  (own.querySelector(".error-summary") ?? own.querySelector("[tabindex='-1']") ?? own).focus();
}
