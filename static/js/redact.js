// Rectangles drawn over a picture, and a run scrubbed frame by frame.
//
// <form data-redact data-path="/cases/…/pictures/new/…"> with a [data-stage] that holds the picture and rows of four
// numbers of percent. The numbers are what is sent; this script draws them as boxes and writes them when a box is
// drawn, moved or taken away. Without it they are typed, and frames are shown by a button. What is burnt out, the
// server burns.
const NAMES = ["left", "top", "width", "height"];
/** Less than this many percent is a slip of the hand. */
const LEAST = 0.6;

const form = document.querySelector("form[data-redact]");
if (form) start();

function start() {
  const stage = form.querySelector("[data-stage]");
  const body = form.querySelector("[data-rows]");
  const tools = form.querySelector("[data-tools]");
  const boxes = new Map();
  tools.hidden = false;
  form.querySelector("[data-numbers]").open = Boolean(form.querySelector('[aria-invalid="true"]'));
  scrub();

  const rows = () => [...body.rows];
  const fields = (row) => NAMES.map((name) => row.querySelector(`input[name="${name}"]`));
  const isBlank = (row) => fields(row).every(({ value }) => !value.trim());

  /** The rectangle of a row, in percent; nothing while it is none. */
  function read(row) {
    const sides = fields(row).map(({ value }) => (value.trim() ? Number(value.replace(",", ".").replace("%", "")) : NaN));
    const [left, top, width, height] = sides;
    return sides.every(Number.isFinite) && width > 0 && height > 0 ? { left, top, width, height } : null;
  }

  const round = (number) => Math.round(number * 10) / 10;
  const between = (number, least, most) => Math.min(Math.max(number, least), most);

  function write(row, place) {
    const width = between(round(place.width), 0.1, 100);
    const height = between(round(place.height), 0.1, 100);
    const left = between(round(place.left), 0, round(100 - width));
    const top = between(round(place.top), 0, round(100 - height));
    const numbers = [left, top, width, height];
    fields(row).forEach((field, at) => (field.value = String(numbers[at])));
    draw(row);
  }

  function clear(row) {
    for (const field of fields(row)) field.value = "";
    draw(row);
  }

  /** Draws the box of a row, or takes it away. */
  function draw(row) {
    const place = read(row);
    let box = boxes.get(row);
    if (!place) {
      box?.remove();
      boxes.delete(row);
      return null;
    }
    if (!box) {
      box = document.createElement("button");
      box.type = "button";
      box.className = "redact-box";
      box.append(document.createElement("span"));
      box.addEventListener("keydown", (event) => onKey(event, row));
      stage.append(box);
      boxes.set(row, box);
    }
    const { left, top, width, height } = place;
    Object.assign(box.style, { left: `${left}%`, top: `${top}%`, width: `${width}%`, height: `${height}%` });
    const number = rows().indexOf(row) + 1;
    box.setAttribute("aria-label", `Rectangle ${number}: left ${left}, top ${top}, width ${width}, height ${height} percent`);
    return box;
  }

  /** A row that is none yet; a new one while there may be more. */
  function freeRow() {
    const blank = rows().find(isBlank);
    if (blank) return blank;
    if (rows().length >= Number(form.dataset.most)) {
      say(`A picture has at most ${form.dataset.most} rectangles.`);
      return null;
    }
    const row = rows().at(-1).cloneNode(true);
    const number = rows().length + 1;
    row.querySelector("th").textContent = number;
    for (const field of fields(row)) {
      field.value = "";
      field.id = `${field.name}-${number}`;
      field.setAttribute("aria-label", `Rectangle ${number}, ${field.name} in percent`);
      field.removeAttribute("aria-invalid");
    }
    body.append(row);
    return row;
  }

  function say(text) {
    form.querySelector("[data-say]").textContent = text;
  }

  function onKey(event, row) {
    const step = event.altKey ? 0.1 : 1;
    const [x, y] = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] }[event.key] ?? [0, 0];
    const place = read(row);
    if (event.key === "Delete" || event.key === "Backspace") {
      clear(row);
      say("The rectangle is taken away.");
      form.querySelector("[data-add]").focus();
    } else if (x || y) {
      if (event.shiftKey) write(row, { ...place, width: between(place.width + x, 1, 100 - place.left), height: between(place.height + y, 1, 100 - place.top) });
      else write(row, { ...place, left: place.left + x, top: place.top + y });
    } else return;
    event.preventDefault();
  }

  form.querySelector("[data-add]").addEventListener("click", () => {
    const row = freeRow();
    if (!row) return;
    write(row, { left: 2, top: 2, width: 30, height: 8 });
    boxes.get(row).focus();
  });

  body.addEventListener("input", ({ target }) => draw(target.closest("tr")));

  /** Where a pointer is, in percent of the picture. */
  function at({ clientX, clientY }) {
    const { left, top, width, height } = stage.getBoundingClientRect();
    return { x: between(((clientX - left) / width) * 100, 0, 100), y: between(((clientY - top) / height) * 100, 0, 100) };
  }

  stage.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    const box = event.target.closest(".redact-box");
    const row = box ? [...boxes].find(([, other]) => other === box)[0] : freeRow();
    if (!row) return;
    event.preventDefault();
    const from = at(event);
    const was = read(row);
    const resizes = box && event.target !== box;
    stage.setPointerCapture(event.pointerId);
    const move = (moved) => {
      const to = at(moved);
      if (!box) write(row, { left: Math.min(from.x, to.x), top: Math.min(from.y, to.y), width: Math.abs(to.x - from.x), height: Math.abs(to.y - from.y) });
      else if (resizes) write(row, { ...was, width: between(was.width + to.x - from.x, 1, 100 - was.left), height: between(was.height + to.y - from.y, 1, 100 - was.top) });
      else write(row, { ...was, left: was.left + to.x - from.x, top: was.top + to.y - from.y });
    };
    const end = () => {
      stage.removeEventListener("pointermove", move);
      const place = read(row);
      if (place && (place.width < LEAST || place.height < LEAST)) clear(row);
      boxes.get(row)?.focus();
    };
    stage.addEventListener("pointermove", move);
    stage.addEventListener("pointerup", end, { once: true });
    stage.addEventListener("pointercancel", end, { once: true });
  });

  for (const row of rows()) draw(row);
}

/** A slider over the frames of a run. Of frames that are passed quickly only the last is asked for. */
function scrub() {
  const holder = form.querySelector("[data-scrub]");
  if (!holder) return;
  const [slider, number] = [holder.querySelector("input"), form.querySelector('input[name="frame"]')];
  const picture = form.querySelector("[data-stage] img");
  let loading = false;
  let shown = slider.value;
  holder.hidden = false;
  form.querySelector("[data-plain]").hidden = true;

  function show(frame) {
    const within = Math.min(Math.max(Math.round(Number(frame)) || 1, 1), Number(slider.max));
    slider.value = within;
    number.value = within;
    load();
  }

  function load() {
    if (loading || slider.value === shown) return;
    loading = true;
    shown = slider.value;
    picture.alt = `Frame ${shown} of the run, as it was brought`;
    picture.src = `${form.dataset.path}/frame/${shown}`;
  }

  for (const name of ["load", "error"]) {
    picture.addEventListener(name, () => {
      loading = false;
      load();
    });
  }
  slider.addEventListener("input", () => show(slider.value));
  number.addEventListener("change", () => show(number.value));
  for (const button of holder.querySelectorAll("[data-step]")) {
    button.addEventListener("click", () => show(Number(slider.value) + Number(button.dataset.step)));
  }
}
