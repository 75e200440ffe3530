// A select that one types into: <select data-chooser>, with other words for an option in its data-words
// ("hole, tamponade"). It becomes a combobox with a listbox (WAI-ARIA 1.2, "Editable Combobox With List
// Autocomplete"). The select stays in the form and keeps the value; without this script it is used as it is.
import { announce } from "./page.js";
import { entry, find } from "./match.js";

let count = 0;

/** Turns every `select[data-chooser]` under `root` into a chooser; those that are one already stay. */
export function enhance(root) {
  const selects = root.querySelectorAll("select[data-chooser]:not([multiple])");
  for (const select of selects) if (!select.dataset.chooserReady) new Chooser(select);
  if (root.matches?.("select[data-chooser]:not([multiple], [data-chooser-ready])")) new Chooser(root);
}

const make = (name, className, attributes = {}) => {
  const node = document.createElement(name);
  node.className = className;
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  return node;
};

class Chooser {
  constructor(select) {
    this.select = select;
    this.items = [...select.options].filter((option) => !option.disabled).map((option) => {
      const group = option.parentElement.matches("optgroup") ? option.parentElement.label : "";
      return { ...entry(option.label, group, option.dataset.words ?? ""), option };
    });
    this.shown = [];
    this.active = -1;
    this.build();
    this.listen();
    this.sync();
  }

  build() {
    const { select } = this;
    const id = select.id || `chooser-${++count}`;
    select.dataset.chooserReady = "yes";
    this.box = make("div", `chooser ${[...select.classList].filter((name) => name.startsWith("w-")).join(" ")}`.trim());
    this.input = make("input", "", {
      id: `${id}-find`, type: "text", role: "combobox", autocomplete: "off", autocapitalize: "none", spellcheck: "false",
      "aria-autocomplete": "list", "aria-expanded": "false", "aria-controls": `${id}-list`, "aria-haspopup": "listbox",
    });
    for (const name of ["aria-describedby", "aria-invalid", "aria-label", "aria-labelledby", "form", "autofocus"]) {
      if (select.hasAttribute(name)) this.input.setAttribute(name, select.getAttribute(name));
    }
    if (select.required) this.input.setAttribute("aria-required", "true");
    this.input.disabled = select.disabled;
    this.empty = this.items.find(({ option }) => option.value === "");
    if (this.empty) this.input.placeholder = this.empty.label;
    const labels = [...(select.labels ?? [])];
    this.list = make("div", "chooser-list", { id: `${id}-list`, role: "listbox", "aria-label": labels[0]?.textContent.trim() ?? "Choices" });
    if (this.list.showPopover) this.list.popover = "manual";
    else this.list.hidden = true;
    for (const label of labels) label.htmlFor = this.input.id;
    const hadFocus = document.activeElement === select;
    select.before(this.box);
    this.box.append(this.input, this.list, select);
    select.classList.add("visually-hidden");
    select.tabIndex = -1;
    select.setAttribute("aria-hidden", "true");
    if (hadFocus) this.input.focus();
  }

  listen() {
    const { input, list, select } = this;
    input.addEventListener("input", () => this.open(input.value));
    input.addEventListener("keydown", (event) => this.onKey(event));
    input.addEventListener("focus", () => input.select());
    input.addEventListener("click", () => {
      if (this.isOpen) return;
      this.open("");
      // The press still puts the caret somewhere; after it, what is typed replaces the choice.
      setTimeout(() => this.isOpen && input.select());
    });
    input.addEventListener("blur", () => this.leave());
    // The focus stays in the field while the mouse is in the list.
    list.addEventListener("pointerdown", (event) => event.preventDefault());
    list.addEventListener("mousedown", (event) => event.preventDefault());
    list.addEventListener("click", (event) => {
      const row = event.target.closest("[role='option']");
      if (row) this.accept(this.shown[Number(row.dataset.index)].item);
    });
    select.addEventListener("change", () => this.sync());
    select.addEventListener("focus", () => input.focus());
    select.form?.addEventListener("reset", () => setTimeout(() => this.sync()));
    this.follow = () => this.position();
  }

  get isOpen() {
    return this.input.getAttribute("aria-expanded") === "true";
  }

  onKey(event) {
    if (event.ctrlKey || event.metaKey || event.isComposing) return;
    const handled = this.act(event);
    if (handled) {
      event.preventDefault();
      event.stopPropagation();
    }
  }

  /** Does what a key asks for; true when the key is used up. */
  act({ key, altKey }) {
    switch (key) {
      case "ArrowDown":
        if (!this.isOpen) this.open("");
        else if (!altKey) this.move(this.active + 1);
        return true;
      case "ArrowUp":
        if (!this.isOpen) this.open("");
        else if (altKey) this.takeActive();
        else this.move(this.active < 0 ? this.shown.length - 1 : this.active - 1);
        return true;
      case "PageDown":
      case "PageUp":
        if (!this.isOpen) return false;
        this.move(Math.min(Math.max(this.active + (key === "PageDown" ? 8 : -8), 0), this.shown.length - 1));
        return true;
      case "Enter":
        if (!this.isOpen) return false;
        this.takeActive();
        return true;
      case "Escape":
        if (this.isOpen) this.close();
        else if (this.input.value === this.label()) return false;
        this.sync();
        return true;
      case "Tab":
        if (this.isOpen && this.input.value.trim()) this.takeActive();
        return false;
      default:
        return false;
    }
  }

  open(typed) {
    this.shown = find(this.items, typed);
    this.draw(typed.trim() !== "");
    const current = this.shown.findIndex(({ item }) => item.option.selected && item !== this.empty);
    this.show();
    this.move(typed.trim() ? 0 : current, { wrap: false });
    const n = this.shown.length;
    announce(n === 0 ? "Nothing found." : n === 1 ? "1 choice." : `${n} choices.`);
  }

  show() {
    this.input.setAttribute("aria-expanded", "true");
    if (this.list.popover) this.list.showPopover();
    else this.list.hidden = false;
    this.position();
    addEventListener("scroll", this.follow, { capture: true, passive: true });
    addEventListener("resize", this.follow);
  }

  close() {
    this.input.setAttribute("aria-expanded", "false");
    this.input.removeAttribute("aria-activedescendant");
    this.active = -1;
    if (!this.list.popover) this.list.hidden = true;
    else if (this.list.matches(":popover-open")) this.list.hidePopover();
    removeEventListener("scroll", this.follow, { capture: true });
    removeEventListener("resize", this.follow);
  }

  /** Hangs the list under the field, or over it where there is more room. */
  position() {
    if (!this.list.popover) return;
    if (!this.input.isConnected) return this.close();
    const field = this.input.getBoundingClientRect();
    const { style } = this.list;
    const below = innerHeight - field.bottom - 12;
    const above = field.top - 12;
    const up = below < 200 && above > below;
    style.minWidth = `${field.width}px`;
    style.maxHeight = `${Math.min(380, up ? above : below)}px`;
    style.left = `${Math.max(8, Math.min(field.left, innerWidth - this.list.offsetWidth - 8))}px`;
    style.top = up ? "auto" : `${field.bottom + 2}px`;
    style.bottom = up ? `${innerHeight - field.top + 2}px` : "auto";
  }

  /** Draws the list: in groups when nothing is typed, best fit first when something is. */
  draw(filtered) {
    this.list.replaceChildren();
    let group = null;
    let into = this.list;
    this.shown.forEach(({ item, via }, index) => {
      if (!filtered && item.group !== group) {
        group = item.group;
        into = group ? this.drawGroup(group) : this.list;
      }
      into.append(this.drawOption(item, index, filtered ? via || item.group : ""));
    });
    if (!this.shown.length) {
      const none = make("div", "chooser-none", { role: "option", "aria-disabled": "true", "aria-selected": "false" });
      none.textContent = "Nothing found. Try another word for it.";
      this.list.append(none);
    }
  }

  drawGroup(name) {
    const holder = make("div", "", { role: "group", "aria-label": name });
    const head = make("div", "chooser-group", { "aria-hidden": "true" });
    head.textContent = name;
    holder.append(head);
    this.list.append(holder);
    return holder;
  }

  drawOption(item, index, note) {
    const row = make("div", "chooser-option", {
      id: `${this.list.id}-${index}`, role: "option", "aria-selected": String(item.option.selected), "data-index": index,
    });
    const name = make("span", "");
    name.textContent = item.label;
    row.append(name);
    if (note) {
      const small = document.createElement("small");
      small.textContent = note;
      row.append(small);
    }
    return row;
  }

  move(index, { wrap = true } = {}) {
    const n = this.shown.length;
    this.list.querySelector(".active")?.classList.remove("active");
    this.active = n === 0 ? -1 : wrap ? (index + n) % n : Math.min(index, n - 1);
    const row = this.active < 0 ? null : document.getElementById(`${this.list.id}-${this.active}`);
    if (!row) return this.input.removeAttribute("aria-activedescendant");
    row.classList.add("active");
    row.scrollIntoView({ block: "nearest" });
    this.input.setAttribute("aria-activedescendant", row.id);
  }

  takeActive() {
    const chosen = this.shown[this.active];
    if (chosen) this.accept(chosen.item);
    else this.close();
  }

  accept(item) {
    const changed = this.select.value !== item.option.value;
    item.option.selected = true;
    this.close();
    this.sync();
    if (!changed) return;
    this.select.dispatchEvent(new Event("input", { bubbles: true }));
    this.select.dispatchEvent(new Event("change", { bubbles: true }));
  }

  /** On leaving: an emptied field means the empty option; the only fit is taken; else it is as before. */
  leave() {
    this.close();
    const typed = this.input.value.trim();
    if (typed === this.label()) return;
    const fits = typed ? find(this.items, typed) : [];
    const whole = this.items.find(({ label }) => label.toLowerCase() === typed.toLowerCase());
    const chosen = typed ? (whole ?? (fits.length === 1 ? fits[0].item : undefined)) : this.empty;
    if (chosen) this.accept(chosen);
    else this.sync();
  }

  label() {
    const option = this.select.selectedOptions[0];
    return option && option.value !== "" ? option.label : "";
  }

  /** Shows what the select holds; in a field that has the focus, ready to be typed over. */
  sync() {
    this.input.value = this.label();
    if (document.activeElement === this.input) this.input.select();
  }
}
