// What the other parts share: asking the server, taking parts of its pages, saying what happened.

/** Thrown when the server did not answer at all. */
export class NoAnswer extends Error {}

/**
 * Fetches a page of our own and parses it.
 * @returns {Promise<{status: number, url: string, redirected: boolean, doc: Document}>}
 * @throws {NoAnswer} when the network or the server is gone
 */
export async function ask(url, options = {}) {
  try {
    const response = await fetch(url, { credentials: "same-origin", headers: { Accept: "text/html" }, ...options });
    const doc = new DOMParser().parseFromString(await response.text(), "text/html");
    return { status: response.status, url: response.url, redirected: response.redirected, doc };
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new NoAnswer(String(error));
  }
}

/** Sends a form as the browser would (urlencoded), with the button that was pressed. */
export function send(form, submitter) {
  const url = submitter?.hasAttribute("formaction") ? submitter.formAction : form.getAttribute("action");
  const body = new URLSearchParams(new FormData(form, submitter?.name ? submitter : undefined));
  return ask(url ?? location.href, { method: "POST", body });
}

/** Puts a node of a fetched page where it belongs and tells the other parts that it is there. */
export function insert(node, put) {
  const own = document.adoptNode(node);
  put(own);
  own.dispatchEvent(new CustomEvent("relook:inserted", { bubbles: true }));
  return own;
}

let copies = 0;

/**
 * Gives the ids inside these nodes an ending of their own, and what refers to them the same: a form that
 * is put beside others may have fields of the same names, and a label or a list must find its own.
 */
export function setApart(...nodes) {
  const ending = `-${++copies}`;
  for (const node of nodes) {
    for (const each of node.querySelectorAll("[id]")) each.id += ending;
    for (const name of ["for", "aria-describedby", "aria-labelledby", "aria-controls"]) {
      for (const each of node.querySelectorAll(`[${name}]`)) {
        each.setAttribute(name, each.getAttribute(name).split(" ").map((id) => id + ending).join(" "));
      }
    }
    for (const link of node.querySelectorAll('a[href^="#"]')) link.setAttribute("href", link.getAttribute("href") + ending);
  }
}

/** Takes over the notice of the fetched page. */
export function takeNotice(doc) {
  // The notice element itself stays: a live region is only read when its content changes.
  const notice = document.getElementById("notice");
  const said = doc.getElementById("notice");
  if (notice && said) notice.replaceChildren(...Array.from(said.childNodes, (node) => document.adoptNode(node)));
}

/** Says something to a screen reader without moving anything on the page. */
export function announce(text) {
  let region = document.getElementById("announce");
  if (!region) {
    region = document.createElement("div");
    region.id = "announce";
    region.className = "visually-hidden";
    region.setAttribute("role", "status");
    document.body.append(region);
  }
  region.textContent = text;
}

/** Says in the notice, for everybody to see, what was just done. */
export function say(text) {
  const notice = document.getElementById("notice");
  if (!notice) return announce(text);
  const line = document.createElement("p");
  line.textContent = text;
  notice.replaceChildren(line);
}

/** Shows in the form that nothing is saved, and why. The form and its text stay. */
export function notSaved(form, why) {
  form.querySelector(":scope > .not-saved")?.remove();
  const line = document.createElement("p");
  line.className = "not-saved";
  line.setAttribute("role", "alert");
  form.prepend(line);
  // Filled after it is in the page, so that it is read aloud.
  line.textContent = `Not saved: ${why} Your text is still here.`;
}

/** The reason, in words, why an answer that is no page of ours did not save. */
export function reason({ status, url }) {
  if (status === 403) return "you may not change this.";
  if (status === 404 || status === 410) return "this is no longer there.";
  if (status === 413) return "the text is too long.";
  if (status >= 500) return `something went wrong in the server (${status}).`;
  if (status === 401 || new URL(url).pathname.startsWith("/sign-in")) return "you are signed out. Sign in again in another tab, then save.";
  return `the server gave an answer that is not understood (${status}).`;
}

/** The first thing to look at in a form: its marked field, else its first field. */
export function focusForm(form) {
  const usable = 'input:not([type="hidden"], [disabled]), select:not([data-chooser], [disabled]), textarea:not([disabled])';
  const marked = form.querySelector('.error-summary, [aria-invalid="true"]:not(select[data-chooser])');
  (marked ?? form.querySelector(usable) ?? form.querySelector("button"))?.focus();
}

/** Marks a form as busy while `work` runs, so that it is not sent twice. */
export async function whileBusy(form, work) {
  if (form.dataset.busy) return;
  form.dataset.busy = "yes";
  const button = form.querySelector("button:not([type='button'])");
  button?.setAttribute("aria-busy", "true");
  try {
    await work();
  } finally {
    delete form.dataset.busy;
    button?.removeAttribute("aria-busy");
  }
}
