// The room's answers at a stop point: hands that the presenter types, and phones where the server
// counts them. Hands are kept here first, and sent when the server is there: sending them twice
// counts them once.

import { kept } from "./store.js";

const EVERY = 1000;
const AGAIN = 10_000;
const GONE = "The record does not have this question now. Hands are kept in this browser and shown here.";
const NO_SERVER = "The server does not answer. Hands are kept in this browser and sent when it is back.";

const blank = (options) => ({ hands: options.map(() => 0), phones: options.map(() => 0), poll: null, open: false, counted: false, unsent: false, address: null, qr: null });

export class Votes {
  constructor(code, told) {
    this.code = code;
    this.name = `relook-votes-${code}`;
    this.told = told;
    this.said = "";
    // One window asks for the counts: the audience's, and the one in which phones were opened.
    this.leads = false;
    this.busy = Promise.resolve();
    addEventListener("storage", (event) => event.key === this.name && this.told());
    setInterval(() => this.poll(), EVERY);
    setInterval(() => this.sendAll(), AGAIN);
    addEventListener("online", () => this.sendAll());
  }

  all() {
    return kept.read(this.name) ?? {};
  }

  /** The answers of a phase; none where nothing was counted or opened. */
  of(decision, phase) {
    return this.all()[decision]?.[phase] ?? null;
  }

  /** Each phase of each decision of which something is kept. */
  *each() {
    for (const [decision, points] of Object.entries(this.all())) {
      for (const [phase, answers] of Object.entries(points)) yield [decision, phase, answers];
    }
  }

  /** Changes what is kept of a phase; what stays the same is not drawn or said again. */
  change(decision, phase, options, change) {
    const all = this.all();
    const before = JSON.stringify(all);
    const points = (all[decision] ??= {});
    const answers = (points[phase] ??= blank(options));
    change(answers);
    if (JSON.stringify(all) === before) return;
    kept.write(this.name, all);
    this.told();
  }

  /** Hands as they were counted: kept, then sent. */
  count(decision, phase, options, hands) {
    this.change(decision, phase, options, (answers) => {
      answers.hands = hands;
      answers.counted = true;
      answers.unsent = true;
    });
    return this.send(decision, phase, options);
  }

  /** One exchange after the other, so that a poll is opened once. */
  send(decision, phase, options) {
    this.busy = this.busy.then(() => this.sendNow(decision, phase, options));
    return this.busy;
  }

  async sendNow(decision, phase, options) {
    const answers = this.of(decision, phase);
    if (!answers?.unsent) return;
    const poll = answers.poll ?? (await this.openNow(decision, phase, options));
    if (!poll) return;
    const body = new URLSearchParams(answers.hands.map((hands, index) => [String(index + 1), String(hands)]));
    const view = await this.ask(`/polls/${poll}/hands`, body);
    if (!view) return;
    // Hands that were counted meanwhile are sent in their turn.
    const areTheLatest = String(this.of(decision, phase)?.hands) === String(answers.hands);
    this.take(decision, phase, options, view, areTheLatest);
    if (this.of(decision, phase)?.closeWhenSent) await this.closeNow(decision, phase, options);
  }

  sendAll() {
    for (const [decision, phase, answers] of this.each()) {
      if (answers.unsent) this.send(decision, phase, answers.hands.map(() => ""));
    }
  }

  /** Opens phones. */
  open(decision, phase, options) {
    this.leads = true;
    this.busy = this.busy.then(() => this.openNow(decision, phase, options));
    return this.busy;
  }

  async openNow(decision, phase, options) {
    const view = await this.ask(`/cases/${this.code}/points/${decision}/polls`, new URLSearchParams({ phase }));
    if (!view) return null;
    this.take(decision, phase, options, view, false);
    this.say(view.address ? "" : (view.hands_only ?? "Phones cannot vote on this server. Count hands."));
    return view.code;
  }

  close(decision, phase, options) {
    this.busy = this.busy.then(() => this.closeNow(decision, phase, options));
    return this.busy;
  }

  async closeNow(decision, phase, options) {
    const answers = this.of(decision, phase);
    if (!answers) return;
    if (answers.unsent) {
      // Hands come first; the poll is closed once they are in.
      this.change(decision, phase, options, (now) => { now.closeWhenSent = true; now.open = false; });
      return;
    }
    this.change(decision, phase, options, (now) => { now.open = false; now.closeWhenSent = false; });
    if (!answers.poll) return;
    const view = await this.ask(`/polls/${answers.poll}/close`, new URLSearchParams());
    if (view) this.take(decision, phase, options, view, false);
  }

  /** The counts of what is open, once a second. */
  async poll() {
    if (!this.leads) return;
    for (const [decision, phase, answers] of this.each()) {
      if (!answers.open || !answers.poll) continue;
      const view = await this.ask(`/polls/${answers.poll}`);
      if (view) this.take(decision, phase, answers.hands.map(() => ""), view, false);
    }
  }

  /** A poll that the record no longer has: what is sent next opens another. */
  forget(code) {
    for (const [decision, phase, answers] of this.each()) {
      if (answers.poll !== code) continue;
      this.change(decision, phase, [], (now) => { now.poll = null; now.open = false; now.phones = now.phones.map(() => 0); });
    }
  }

  take(decision, phase, options, view, sent) {
    this.change(decision, phase, options, (answers) => {
      answers.poll = view.code ?? answers.poll;
      answers.open = Boolean(view.open);
      answers.address = view.address ?? null;
      answers.qr = view.qr ?? null;
      answers.phones = (view.options ?? []).map((option) => Number(option.phones) || 0);
      if (sent) answers.unsent = false;
      if (!answers.unsent) answers.hands = (view.options ?? []).map((option) => Number(option.hands) || 0);
    });
  }

  say(sentence) {
    if (this.said === sentence) return;
    this.said = sentence;
    this.told();
  }

  async ask(address, body) {
    try {
      const answer = await fetch(address, { method: body ? "POST" : "GET", body, credentials: "same-origin", redirect: "error" });
      if (answer.status === 404) {
        if (address.startsWith("/polls/")) this.forget(address.split("/")[2]);
        else this.say(GONE);
        return null;
      }
      const view = await answer.json().catch(() => null);
      if (!answer.ok) {
        this.say(view?.error ?? "The server did not take this.");
        return null;
      }
      if ([NO_SERVER, GONE].includes(this.said)) this.say("");
      return view;
    } catch {
      this.say(NO_SERVER);
      return null;
    }
  }
}

const element = (name, attributes = {}, ...children) => {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (key in made && typeof value !== "string") made[key] = value;
    else made.setAttribute(key, value);
  }
  made.append(...children);
  return made;
};

/** What a screen asks: its decision, its phase and its options; none when it asks nothing. */
export function asked(screen) {
  const { decision, purpose, options, chosen } = screen?.dataset ?? {};
  if (!decision || purpose === "tell") return null;
  if (!options) return null;
  return { decision, options: JSON.parse(options), phase: purpose === "revealed" ? "after" : "before", chosen: Number(chosen) || null };
}

const sum = (answers, index) => (answers?.hands[index] ?? 0) + (answers?.phones[index] ?? 0);
const has = (answers) => Boolean(answers && (answers.counted || answers.poll));

function bar(number, most) {
  const share = most > 0 ? (100 * number) / most : 0;
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("viewBox", "0 0 100 10");
  svg.setAttribute("preserveAspectRatio", "none");
  svg.setAttribute("aria-hidden", "true");
  const rect = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  rect.setAttribute("width", String(share));
  rect.setAttribute("height", "10");
  svg.append(rect);
  return [element("span", { class: "bar-track" }, svg), element("span", { class: "bar-number" }, String(number))];
}

/** The answers as bars, before and after side by side once there are both. */
export function showAnswers(screen, votes) {
  const place = screen.querySelector("[data-answers]");
  const point = place && asked(screen);
  if (!point) return;
  const phases = [["before", "Before"], ["after", "After"]]
    .filter(([phase]) => phase === "before" || point.phase === "after")
    .map(([phase, label]) => ({ label, answers: votes.of(point.decision, phase) }))
    .filter(({ answers }) => has(answers));
  place.hidden = phases.length === 0;
  if (place.hidden) return place.replaceChildren();
  const most = Math.max(1, ...phases.flatMap(({ answers }) => point.options.map((_, index) => sum(answers, index))));
  const total = ({ answers }) => point.options.reduce((all, _, index) => all + sum(answers, index), 0);
  const head = element("tr", {}, element("th", { scope: "col", class: "option-name" }, "The room"),
    ...phases.map((phase) => element("th", { scope: "col" }, point.phase === "after" ? `${phase.label}: ${total(phase)}` : `${total(phase)} answers`)));
  const rows = point.options.map((text, index) => element("tr", point.chosen === index + 1 ? { class: "is-chosen" } : {},
    element("th", { scope: "row", class: "option-name" }, `Option ${index + 1}${point.chosen === index + 1 ? ", chosen" : ""}`),
    ...phases.map(({ answers }) => element("td", {}, ...bar(sum(answers, index), most)))));
  place.replaceChildren(element("table", { "aria-label": "The room’s answers" }, element("thead", {}, head), element("tbody", {}, ...rows)));
}

/** The address for phones, as large as the wall. */
export function showCode(place, screen, votes, folded) {
  const point = asked(screen);
  const answers = point && votes.of(point.decision, point.phase);
  const shown = Boolean(answers?.open && answers.address && !folded);
  place.hidden = !shown;
  if (!shown) return place.replaceChildren();
  const total = answers.phones.reduce((all, number) => all + number, 0);
  const parts = [element("p", {}, "Answer on your phone: one answer a phone, no name.")];
  if (answers.qr) parts.push(element("img", { src: `data:image/svg+xml,${encodeURIComponent(answers.qr)}`, alt: `The address ${answers.address} as a code to scan` }));
  parts.push(element("p", { class: "address" }, answers.address), element("p", {}, `${total} ${total === 1 ? "answer" : "answers"} so far. Q shows the question.`));
  place.replaceChildren(...parts);
}

/** The presenter's panel: hands to be typed, phones to be opened and closed. */
export function panel(place, screen, votes) {
  const point = asked(screen);
  const name = point ? `${point.decision} ${point.phase}` : "";
  if (!point) {
    place.dataset.for = "";
    return place.replaceChildren();
  }
  const answers = votes.of(point.decision, point.phase);
  // A field that is being typed into is not taken away.
  if (place.dataset.for !== name) {
    place.dataset.for = name;
    const rows = point.options.map((text, index) => {
      const id = `hands-${point.phase}-${index + 1}`;
      return [element("label", { for: id }, `${index + 1}. ${text}`),
        element("input", { id, type: "number", min: "0", max: "999", inputmode: "numeric", value: String(answers?.hands[index] || ""), placeholder: "0", "data-hands": String(index) }),
        element("span", { "data-phones": String(index) })];
    });
    const press = (words, what) => {
      const button = element("button", { type: "button", "data-vote-do": what }, words);
      button.addEventListener("click", () => act(what));
      return button;
    };
    const hands = () => [...place.querySelectorAll("[data-hands]")].map((input) => Math.min(999, Math.max(0, Math.trunc(Number(input.value)) || 0)));
    const act = (what) => {
      if (what === "count") votes.count(point.decision, point.phase, point.options, hands());
      if (what === "open") votes.open(point.decision, point.phase, point.options);
      if (what === "close") votes.close(point.decision, point.phase, point.options);
    };
    place.replaceChildren(
      element("p", {}, point.phase === "before" ? "Before what was done is told:" : "Once more, now that it is told:"),
      element("div", { class: "vote-rows" }, ...rows.flat()),
      element("p", { class: "vote-tools" }, press("Keep these hands", "count"), press("Open phones", "open"), press("Close", "close")),
      element("p", { class: "vote-say", role: "status", "data-vote-say": "" }),
    );
  }
  for (const [index, number] of (answers?.phones ?? []).entries()) {
    const cell = place.querySelector(`[data-phones="${index}"]`);
    if (cell) cell.textContent = answers.poll && answers.address ? `${number} by phone` : "";
  }
  const phones = answers?.open && answers.address ? `Phones are open at ${answers.address}.` : "";
  const hands = answers?.unsent ? "Hands are kept here, not sent yet." : answers?.counted ? "Hands are kept." : "";
  place.querySelector("[data-vote-say]").textContent = [phones, hands, votes.said].filter(Boolean).join(" ");
  for (const [what, off] of [["open", Boolean(answers?.open && answers.address)], ["close", !answers?.open]]) {
    place.querySelector(`[data-vote-do="${what}"]`).disabled = off;
  }
}
