// The parts of a panel: how its page looks, its controls, its table, its files. Loaded before panel.js, as one script with it.

const SAID = 84, ROW = 66; // px: the sentence under a picture, one control
let count = 0;

function luminance(colour) {
  const [r, g, b] = (colour.match(/[\d.]+/g) || [255, 255, 255]).map(Number);
  return (0.2126 * r + 0.7152 * g + 0.0722 * b) / 255;
}

function pageTheme(root) {
  const told = document.body.dataset.jpThemeLight; // JupyterLab and Notebook say so themselves
  if (told) return told === "false" ? "dark" : "light";
  for (let node = root; node; node = node.parentElement) {
    const colour = getComputedStyle(node).backgroundColor;
    if (colour && !/, 0\)$|transparent/.test(colour) && node !== root) return luminance(colour) < 0.5 ? "dark" : "light";
  }
  return matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
}

// Height that a picture may take, so that its sentence and the slider in use are seen with it [px].
// Where even the least picture leaves no room, the sentence alone stays in sight.
function roomFor(root, scene, status) {
  let view = root.parentElement;
  while (view && !/auto|scroll/.test(getComputedStyle(view).overflowY)) view = view.parentElement;
  const seen = Math.min(view?.clientHeight || innerHeight, innerHeight);
  const beside = getComputedStyle(root.firstElementChild).display === "grid"; // controls stand at the picture's side
  const left = seen - (beside ? 0 : ROW), tall = scene.offsetHeight + status.offsetHeight;
  root.classList.toggle("sp-tight", !beside && tall > left);
  root.style.setProperty("--sp-left", left);
  root.classList.toggle("sp-beside", beside);
  return Math.floor((left - SAID) / 10) * 10;
}

// What is shown of a tall picture: the storey that the hand moves, and those next to it for which there is room [px].
function shownOf(edges, part, tall, room) {
  if (part + 1 >= edges.length) return [0, tall];
  let first = part, last = part + 1;
  for (let grown = true; grown;) {
    grown = true;
    if (last + 1 < edges.length && edges[last + 1] - edges[first] <= room) last += 1;
    else if (first > 0 && edges[last] - edges[first - 1] <= room) first -= 1;
    else grown = false;
  }
  return [edges[first], edges[last]];
}

// That part, shown at the top of the page while the picture itself is out of sight.
function glassFor(model, root, image, status, covered) {
  const film = make("div", { class: "sp-film" }), pane = make("div", { class: "sp-pane" }, film);
  const node = make("div", { class: "sp-glass", "aria-hidden": "true" }, pane);
  const tight = () => root.classList.contains("sp-tight");
  let laid = ""; // how high what covers controls was, and the picture
  const look = () => {
    const tall = image.height;
    const box = image.getBoundingClientRect(), stop = node.getBoundingClientRect().top;
    const room = (Number(root.style.getPropertyValue("--sp-left")) || 0) - status.offsetHeight;
    const [top, bottom] = shownOf(model.get("storeys"), model.get("part"), tall, room - 1.7 * ROW);
    const shown = Math.min(1, room / (bottom - top));
    const inSight = !tight() || box.top + top * (box.height / tall) >= stop - 1 || room < 60;
    const high = inSight ? 0 : Math.round(shown * (bottom - top));
    root.style.setProperty("--sp-glass", `${high}px`);
    const end = root.firstElementChild.getBoundingClientRect().bottom - status.offsetHeight; // it leaves with its panel
    pane.style.transform = `translateY(${Math.min(0, Math.round(end - stop - high))}px)`;
    const above = tight() ? high : root.classList.contains("sp-beside") ? -status.offsetHeight : image.height;
    const cover = `${status.offsetHeight + above}px`; // what lies over controls that are scrolled under it
    root.style.setProperty("--sp-cover", cover);
    if (laid !== `${cover} ${tall}`) { laid = `${cover} ${tall}`; covered(); }
    if (inSight) return;
    film.style.backgroundImage = `url("${image.src}")`;
    film.style.backgroundSize = `${shown * image.width}px auto`;
    film.style.backgroundPosition = `center ${-shown * top}px`;
  };
  document.addEventListener("scroll", look, { capture: true, passive: true });
  return { node, look, end: () => document.removeEventListener("scroll", look, { capture: true }) };
}

function sliderFor(control, id, moved) {
  const input = make("input", { type: "range", id, min: control.low, max: control.high, step: control.step });
  const output = make("span", { class: "sp-value", "aria-hidden": "true" }); // the slider says its value itself
  let led = ""; // where a choice leads that this slider does not
  const show = () => {
    const number = Number(input.value).toFixed(control.decimals).replace("-", "−");
    const unit = number === "1" && ["clicks", "shims"].includes(control.unit) ? control.unit.slice(0, -1) : control.unit;
    const text = led || (unit === "°" ? `${number}°` : `${number} ${unit}`.trim());
    if (output.textContent !== text) output.textContent = text;
    if (input.getAttribute("aria-valuetext") !== text) input.setAttribute("aria-valuetext", text);
    input.style.setProperty("--part", (input.value - control.low) / (control.high - control.low));
  };
  input.addEventListener("input", () => { led = ""; show(); moved(); });
  const lead = (words) => { led = words; show(); };
  return { input, output, lead, value: () => Number(input.value), set: (value) => { input.value = value; show(); } };
}

function choiceFor(control, id, moved) {
  const input = make("select", { id }, ...control.options.map(([value, words]) => make("option", { value }, words)));
  input.addEventListener("change", moved);
  return { input, output: "", value: () => input.value, set: (value) => { input.value = value; } };
}

// A slider that counts under one option of a choice only says the choice's words under the others, until it is turned.
function tellLed(controls, parts, turned) {
  for (const { name, led } of controls.filter((control) => control.led && !turned(control.name))) {
    const leader = parts.get(led[0]);
    parts.get(name).lead(leader.value() === led[1] ? "" : leader.input.selectedOptions[0].textContent);
  }
}

function controlFor(control, moved) {
  const id = `suspedu-${own}-${++count}`;
  const part = (control.kind === "slider" ? sliderFor : choiceFor)(control, id, moved);
  const line = make("div", { class: "sp-line" }, make("label", { for: id }, control.label), part.output);
  part.node = make("div", { class: "sp-control" }, line, part.input);
  if (control.direction) {
    part.node.append(make("div", { class: "sp-direction", id: `${id}-direction` }, control.direction));
    part.input.setAttribute("aria-describedby", `${id}-direction`);
  }
  return part;
}

// Fills the table of key numbers; cells that stay the same are left alone.
function numbersTable(rows, table) {
  const pinned = rows.some((row) => row.length > 2);
  const shape = `${rows.map((row) => row.length)}`;
  if (table.dataset.shape !== shape) {
    const heads = pinned ? ["", "now", "pinned", "change"] : [];
    const head = make("tr", {}, ...heads.map((text) => make(text ? "th" : "td", text ? { scope: "col" } : {}, text)));
    const lines = rows.map((row) => make("tr", {}, ...row.map((_, i) => make(i ? "td" : "th", i ? {} : { scope: "row" }))));
    table.replaceChildren(make("caption", {}, "Key numbers"), ...(pinned ? [make("thead", {}, head)] : []),
      make("tbody", {}, ...lines));
    table.classList.toggle("sp-pinned", pinned);
    table.dataset.shape = shape;
  }
  const cells = table.querySelectorAll("tbody :is(th, td)");
  rows.flat().forEach((text, i) => { if (cells[i].textContent !== text) cells[i].textContent = text; });
}

// A data address is decoded within the page: quicker than a blob, which takes a way through another process.
function dataUrl(bytes) {
  const view = new Uint8Array(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let text = "";
  for (let i = 0; i < view.length; i += 8192) text += String.fromCharCode(...view.subarray(i, i + 8192));
  return `data:image/png;base64,${btoa(text)}`;
}

function download(content, buffer) {
  const url = URL.createObjectURL(new Blob([buffer], { type: content.type }));
  make("a", { href: url, download: content.name }).click();
  setTimeout(() => URL.revokeObjectURL(url), 1000);
}
