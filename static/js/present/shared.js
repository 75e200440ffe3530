// What both windows do alike: moving, blanking, the light, the answers when a stop point is passed.

import { channel } from "./channel.js";
import { Deck } from "./deck.js";
import { otherRoom, room, setRoom, startRoom } from "./room.js";
import { asked, Votes } from "./votes.js";

const SAY = 4000;

/** Starts a window: `show(what)` is called whenever something is to be drawn anew. */
export function start(show) {
  document.documentElement.classList.add("js");
  startRoom();
  const place = document.getElementById("deck");
  const say = document.querySelector("[data-say]");
  let quiet;
  const tell = (sentence) => {
    clearTimeout(quiet);
    say.textContent = sentence ?? "";
    if (sentence) quiet = setTimeout(() => { say.textContent = ""; }, SAY);
  };
  const state = () => ({ kind: "state", key: deck.key, passed: deck.passed, blank: document.body.classList.contains("blank"), room: room() });
  let following = false;
  const deck = new Deck(place, (what) => {
    if (what === "load" && pending) take(pending);
    show(what);
    if (what === "move" && !following) wire.send(state());
  });
  let pending = null;
  const take = (other) => {
    following = true;
    deck.follow(other);
    // What is not loaded yet is followed once it is.
    pending = deck.key === other.key ? null : other;
    document.body.classList.toggle("blank", Boolean(other.blank));
    if (other.room && other.room !== room()) setRoom(other.room);
    following = false;
    show("move");
  };
  const wire = channel(deck.code, (message) => {
    if (message.kind === "hello") wire.send(state());
    if (message.kind === "state") take(message);
    if (message.kind === "code") show("code");
  });
  const votes = new Votes(deck.code, () => show("votes"));
  const endAnswers = (point) => {
    const answers = point && votes.of(point.decision, point.phase);
    if (answers?.open || answers?.unsent) votes.close(point.decision, point.phase, point.options);
  };
  const move = (how) => {
    const before = asked(deck.current);
    const passed = deck.passed;
    pending = null;
    tell(how());
    // Nobody answers the first question with what only hindsight tells.
    if (deck.passed > passed) endAnswers(before);
    else if (before?.phase === "after" && asked(deck.current)?.decision !== before.decision) endAnswers(before);
  };
  const blankIt = () => {
    document.body.classList.toggle("blank");
    wire.send(state());
    tell(document.body.classList.contains("blank") && document.body.classList.contains("presenter") ? "The audience sees nothing." : "");
  };
  const light = () => {
    setRoom(otherRoom());
    wire.send(state());
  };
  const actions = {
    on: () => move(() => deck.next()),
    back: () => move(() => deck.previous()),
    first: () => move(() => deck.first()),
    last: () => move(() => deck.last()),
    jump: (number) => move(() => deck.jump(number)),
    blank: blankIt,
    room: light,
    load: () => deck.load(),
    code: () => { wire.send({ kind: "code" }); show("code"); },
  };
  // Where this window was before tells nobody else where to be.
  const restore = () => {
    following = true;
    deck.restore();
    following = false;
  };
  restore();
  wire.send({ kind: "hello" });
  deck.load().then(restore);
  show("move");
  return { deck, votes, actions, tell, place };
}

/** Buttons that do what their `data-do` says. */
export function buttons(act) {
  document.addEventListener("click", (event) => {
    const button = event.target.closest?.("button[data-do]");
    if (button) act(button.dataset.do, Number(button.dataset.to) || undefined);
  });
}
