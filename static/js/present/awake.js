// A session that lies idle ends. Who presents sends nothing for as long as nobody votes, so a step of the
// presentation says now and then that somebody is at work.
const EVERY = 10 * 60 * 1000;
let last = Date.now();

/** Says so when it is time; an answer is not waited for, and none is needed to go on. */
export function awake() {
  if (Date.now() - last < EVERY) return;
  last = Date.now();
  fetch(location.pathname, { method: "HEAD", credentials: "same-origin", redirect: "error" }).catch(() => {});
}
