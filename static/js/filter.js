// A list that follows its filters: <form data-auto> asks again when a select changes. When the page has an
// element with the id "results", only that is replaced and the focus stays where it is; otherwise the form
// is sent as it would be by its Apply button.
import { NoAnswer, announce, ask, insert, say } from "./page.js";

let running = null;

export function start() {
  document.addEventListener("change", (event) => {
    const form = event.target.closest("form[data-auto]");
    if (form && event.target.matches("select")) follow(form);
  });
}

async function follow(form) {
  const results = document.getElementById("results");
  if (!results) return form.requestSubmit();
  const url = new URL(form.getAttribute("action") ?? location.pathname, location.href);
  url.search = new URLSearchParams([...new FormData(form)].filter(([, value]) => value !== "")).toString();
  running?.abort();
  running = new AbortController();
  results.setAttribute("aria-busy", "true");
  try {
    const { doc, status } = await ask(url.href, { signal: running.signal });
    const fresh = doc.getElementById("results");
    if (status !== 200 || !fresh) return location.assign(url.href);
    const own = insert(fresh, (node) => results.replaceWith(node));
    history.replaceState(null, "", url);
    announce(own.querySelector("[data-count], caption strong, h2")?.textContent.trim() ?? "The list is changed.");
  } catch (error) {
    if (error.name === "AbortError") return;
    results.removeAttribute("aria-busy");
    if (!(error instanceof NoAnswer)) throw error;
    say("The server did not answer, so the list is as it was.");
  }
}
