// One screen at a time. What lies behind a stop point waits until somebody goes on from it.
document.documentElement.classList.add("js");
document.addEventListener("DOMContentLoaded", () => {
  const one = (name) => document.querySelector(name);
  const screens = [...document.querySelectorAll(".screen")];
  const segment = (place) => Number(screens[place].dataset.segment);
  const [number, say, on, back, about] = ["[data-number]", "[data-say]", "[data-do='on']", "[data-do='back']", "dialog"].map(one);
  let at = 0;
  let passed = 0;
  let digits = "";
  let silence;

  const tell = (words) => {
    say.textContent = words;
    clearTimeout(silence);
    silence = setTimeout(() => { say.textContent = ""; }, 3000);
  };
  const last = () => screens.findLastIndex((_, place) => segment(place) <= passed);
  const show = (place) => {
    screens[at].classList.remove("current");
    at = place;
    passed = Math.max(passed, segment(at));
    const screen = screens[at];
    screen.classList.add("current");
    fit(screen);
    number.textContent = `${at + 1} of ${screens.length}`;
    back.disabled = at === 0;
    on.disabled = at + 1 === screens.length;
    on.textContent = !on.disabled && segment(at + 1) > passed ? "Show what was chosen" : "Go on";
    scrollTo(0, 0);
  };
  const act = {
    on: () => (at + 1 < screens.length ? show(at + 1) : tell("This is the last screen.")),
    back: () => (at > 0 ? show(at - 1) : tell("This is the first screen.")),
    first: () => show(0),
    last: () => show(last()),
    jump: (wanted) => {
      if (wanted < 1 || wanted > screens.length) tell(`There are ${screens.length} screens.`);
      else if (wanted - 1 > last()) tell("That screen lies behind the next stop point.");
      else show(wanted - 1);
    },
    blank: () => document.body.classList.toggle("blank"),
    full: () => (document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen?.().catch(() => tell("This browser shows no full screen here."))),
    room: () => {
      const { dataset } = document.documentElement;
      dataset.room = dataset.room === "dark" ? "light" : "dark";
    },
    about: () => about.showModal(),
    close: () => about.close(),
  };
  const KEYS = {
    ArrowRight: "on", ArrowDown: "on", PageDown: "on", " ": "on",
    ArrowLeft: "back", ArrowUp: "back", PageUp: "back",
    Home: "first", End: "last", b: "blank", ".": "blank", f: "full", l: "room", "?": "about",
  };

  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || about.open) return;
    // A narrow window scrolls its screen by the arrows.
    if (["ArrowDown", "ArrowUp"].includes(event.key) && document.documentElement.scrollHeight > innerHeight + 1) return;
    if (event.target.closest?.(".drawing[tabindex]") && event.key.startsWith("Arrow")) return;
    if ([" ", "Enter"].includes(event.key) && event.target.closest?.("button, a[href], summary")) return;
    if (/^[0-9]$/.test(event.key)) {
      digits = (digits + event.key).slice(-3);
      return;
    }
    if (event.key === "Enter") {
      if (digits) act.jump(Number(digits));
      digits = "";
      return;
    }
    digits = "";
    const name = KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    if (!name) return;
    event.preventDefault();
    act[name]();
  });
  for (const button of document.querySelectorAll("[data-do]")) button.addEventListener("click", () => act[button.dataset.do]());
  addEventListener("resize", () => fit(screens[at]));
  // A sheet holds a screen as a wall does, so each is as large on paper as it would be there. A narrow window
  // has no such sizes: there the sheet's own stand.
  addEventListener("beforeprint", () => {
    const wall = document.createElement("div");
    wall.className = "stage measure";
    document.body.append(wall);
    for (const screen of screens) {
      delete screen.dataset.fit;
      if (innerWidth <= 820) continue;
      const copy = screen.cloneNode(true);
      copy.classList.add("current");
      wall.append(copy);
      fit(copy);
      screen.dataset.fit = copy.dataset.fit;
      copy.remove();
    }
    wall.remove();
  });
  addEventListener("afterprint", () => fit(screens[at]));
  one("[data-foot]").hidden = false;
  show(0);
  // A face that is first needed later comes later.
  document.fonts?.addEventListener("loadingdone", () => fit(screens[at]));
});
