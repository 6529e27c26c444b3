// The page's side of a panel: native controls, the picture, its sentence and numbers.
// Plain JavaScript, no build step. One message is on its way at a time; the newest values win.

const REST = 90; // ms without an event until the crisp picture is asked for
const LOST = 5000; // ms after which an unanswered message counts as lost
const own = Math.random().toString(36).slice(2, 10); // each panel of a page loads this file anew: ids must differ all the same
let count = 0;

function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== false) node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children);
  return node;
}

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

function sliderFor(control, id, moved) {
  const input = make("input", { type: "range", id, min: control.low, max: control.high, step: control.step });
  const output = make("span", { class: "sp-value", "aria-hidden": "true" }); // the slider says its value itself
  const show = () => {
    const text = `${Number(input.value).toFixed(control.decimals)} ${control.unit}`.trim();
    output.textContent = text;
    input.setAttribute("aria-valuetext", text);
    input.style.setProperty("--part", (input.value - control.low) / (control.high - control.low));
  };
  input.addEventListener("input", () => { show(); moved(); });
  return { input, output, value: () => Number(input.value), set: (value) => { input.value = value; show(); } };
}

function choiceFor(control, id, moved) {
  const input = make("select", { id }, ...control.options.map(([value, words]) => make("option", { value }, words)));
  input.addEventListener("change", moved);
  return { input, output: "", value: () => input.value, set: (value) => { input.value = value; } };
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

// Sends the newest values as soon as the answer to the last message is there.
function courier(model, read) {
  let sent = 0, waiting = null, restTimer = 0, lostTimer = 0, free = true;
  const send = (quick) => {
    free = false;
    sent = Math.max(sent, model.get("serial")) + 1;
    model.send({ kind: "move", serial: sent, quick, values: read() });
    clearTimeout(lostTimer);
    lostTimer = setTimeout(answered, LOST);
  };
  const ask = (quick) => { if (free) send(quick); else waiting = { quick }; };
  const answered = () => {
    clearTimeout(lostTimer);
    free = true;
    const next = waiting;
    waiting = null;
    if (next) send(next.quick);
  };
  return {
    moved() {
      ask(true);
      clearTimeout(restTimer);
      restTimer = setTimeout(() => { restTimer = 0; ask(false); }, REST);
    },
    heard() { if (!free && model.get("serial") >= sent) answered(); },
    resting: () => !restTimer && free,
    calm() { clearTimeout(restTimer); restTimer = 0; waiting = null; }, // what the hand asked for no longer counts
    stop() { clearTimeout(restTimer); clearTimeout(lostTimer); },
  };
}

function render({ model, el }) {
  const parts = new Map();
  const post = courier(model, () => Object.fromEntries([...parts].map(([name, part]) => [name, part.value()])));
  for (const control of model.get("controls")) parts.set(control.name, controlFor(control, post.moved));

  const image = make("img", { alt: "", draggable: "false" });
  const old = make("div", { class: "sp-old", hidden: true }, "earlier picture");
  const status = make("div", { class: "sp-status", role: "status" });
  const table = make("table", { class: "sp-numbers" });
  const button = (text, message, hint) => {
    const node = make("button", { type: "button", title: hint }, text);
    node.addEventListener("click", () => model.send(message()));
    return node;
  };
  const pin = button("Pin", () => ({ kind: "pin" }), "Keep the present curves in grey to compare with");
  const swap = button("Swap", () => ({ kind: "swap" }), "Change places with the pinned setting");
  const buttons = make("div", { class: "sp-buttons" }, pin, swap,
    button("Reset", () => { post.calm(); return { kind: "reset" }; }, "Back to the first values"),
    button("Save PNG", () => ({ kind: "save", format: "png" }), "Save the picture as a PNG file"),
    button("Save SVG", () => ({ kind: "save", format: "svg" }), "Save the picture as an SVG file"));
  const { hand, groups } = handOf(model.get("controls"), parts, make);
  const labels = new Map(model.get("controls").map((control) => [control.name, control.label.toLowerCase()]));
  const stops = model.get("controls").filter((control) => control.lasts)
    .map((control) => player(control, parts.get(control.name), post.moved, make));
  const root = make("section", { class: "suspedu-panel", "aria-label": model.get("title") || "Panel",
    "data-lm-suppress-shortcuts": "true" },
    make("div", { class: "sp-picture" }, image, old),
    make("div", { class: "sp-under" }, make("div", {}, hand, buttons), make("div", { class: "sp-read" }, status, table)));
  root.classList.toggle("sp-many", parts.size > 5);
  if (model.get("picked")) pickable(image, model);
  root.addEventListener("keydown", (event) => event.stopPropagation());
  el.append(root);

  let drawn = null;
  const picture = () => {
    const bytes = model.get("picture"), serial = model.get("serial"), [width, height] = model.get("size");
    if (image.getAttribute("width") !== String(width)) image.width = width;
    if (image.getAttribute("height") !== String(height)) image.height = height;
    if (bytes === drawn) return;
    drawn = bytes;
    image.onload = () => { image.dataset.serial = serial; };
    image.src = dataUrl(bytes);
  };
  const texts = () => {
    const problem = model.get("problem"), sentence = model.get("sentence"), compared = model.get("compared");
    image.alt = `${problem ? "Earlier picture. " : ""}${sentence} ${compared}`.trim();
    old.hidden = !problem;
    root.classList.toggle("sp-stale", Boolean(problem));
    numbersTable(model.get("numbers"), table);
    const lines = problem ? [["sp-problem", problem]] : [["sp-sentence", sentence], ["sp-compared", compared]];
    const shown = lines.filter(([, text]) => text).map(([name, text]) => make("p", { class: name }, text));
    status.setAttribute("aria-busy", String(!post.resting())); // read aloud once the hand rests
    if (status.textContent === shown.map((line) => line.textContent).join("")) return;
    status.replaceChildren(...shown);
    const grown = Math.max(parseFloat(status.style.minHeight) || 0, status.scrollHeight); // never shrinks: nothing jumps
    if (status.style.minHeight !== `${grown}px`) status.style.minHeight = `${grown}px`;
  };
  const pinState = () => {
    pin.textContent = model.get("pinned") ? "Unpin" : "Pin";
    pin.setAttribute("aria-pressed", String(model.get("pinned")));
    swap.hidden = !model.get("pinned");
  };
  const values = () => {
    if (!post.resting()) return; // the hand is ahead of the answer
    for (const [name, value] of Object.entries(model.get("values"))) parts.get(name)?.set(value);
    tellFolds(groups, model.get("values"), model.get("home"), labels);
  };

  let told = "", width = 0;
  const screen = () => {
    const theme = pageTheme(root);
    for (const [name, colour] of Object.entries(model.get("themes")[theme])) root.style.setProperty(`--sp-${name}`, colour);
    root.dataset.theme = theme;
    const room = Math.floor(root.querySelector(".sp-picture").clientWidth / 10) * 10;
    if (!room) return; // not on the page yet
    if (room !== width) status.style.minHeight = "";
    width = room;
    const message = { kind: "screen", theme, ratio: devicePixelRatio, width };
    if (JSON.stringify(message) !== told) model.send(message);
    told = JSON.stringify(message);
  };
  let screenTimer = 0;
  const screenSoon = () => { clearTimeout(screenTimer); screenTimer = setTimeout(screen, 60); };

  const refresh = () => { picture(); post.heard(); pinState(); values(); texts(); };
  const heard = { change: refresh,
    "msg:custom": (content, buffers) => { if (content.kind === "file") download(content, buffers[0]); } };
  for (const [name, action] of Object.entries(heard)) model.on(name, action);
  const sizes = new ResizeObserver(screenSoon);
  sizes.observe(root);
  const themes = new MutationObserver(screenSoon);
  for (const node of [document.body, document.documentElement]) themes.observe(node, { attributes: true });
  const scheme = matchMedia("(prefers-color-scheme: dark)");
  scheme.addEventListener("change", screenSoon);
  addEventListener("resize", screenSoon); // zooming changes the pixel ratio

  refresh(); screen();
  return () => {
    for (const [name, action] of Object.entries(heard)) model.off(name, action);
    stops.forEach((stop) => stop());
    sizes.disconnect(); themes.disconnect(); post.stop(); clearTimeout(screenTimer);
    scheme.removeEventListener("change", screenSoon);
    removeEventListener("resize", screenSoon);
  };
}

export default { render };
