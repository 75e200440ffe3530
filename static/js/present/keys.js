// The keyboard of a presentation. What is typed into a field is not a key of it.

const ACTIONS = {
  ArrowRight: "on", ArrowDown: "on", PageDown: "on", " ": "on",
  ArrowLeft: "back", ArrowUp: "back", PageUp: "back",
  Home: "first", End: "last",
  b: "blank", ".": "blank", f: "full", l: "room", v: "vote", p: "presenter", q: "code", r: "load", "?": "keys",
  Escape: "leave",
};

/** Calls `act(name, number)` for what is pressed; digits wait for Enter. */
export function keys(act) {
  let digits = "";
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const target = event.target;
    // A dialog that is open keeps all keys, wherever the focus is: Escape closes it and nothing more.
    if (document.querySelector("dialog[open]") || target.closest?.("input, textarea, select")) return;
    // A button or link that has the focus keeps its own keys.
    if ([" ", "Enter"].includes(event.key) && target.closest?.("button, a[href], summary")) return;
    if (/^[0-9]$/.test(event.key)) {
      digits = (digits + event.key).slice(-3);
      return;
    }
    if (event.key === "Enter") {
      if (digits) act("jump", Number(digits));
      digits = "";
      return;
    }
    digits = "";
    const name = ACTIONS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    if (!name || (name === "leave" && document.fullscreenElement)) return;
    event.preventDefault();
    act(name);
  });
}
