// The page's side of a panel: native controls, the picture, its sentence and numbers.
// Plain JavaScript, no build step. One message is on its way at a time; the newest values win.

const REST = 90; // ms without an event until the crisp picture is asked for
const LOST = 5000; // ms after which an unanswered message counts as lost
const SAID = 84, ROW = 66; // px: the sentence under a picture, one control
const BUSY = 250; // ms without an answer until the page says that it waits
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
  root.classList.toggle("sp-tight", tall > left);
  root.style.setProperty("--sp-cover", `${beside ? 0 : tall > left ? status.offsetHeight : tall}px`);
  return Math.floor((left - SAID) / 10) * 10;
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

// Sends the newest values as soon as the answer to the last message is there; says when that takes its time.
function courier(model, read, waits) {
  let sent = 0, waiting = null, restTimer = 0, lostTimer = 0, busyTimer = 0, free = true;
  const send = (quick) => {
    free = false;
    sent = Math.max(sent, model.get("serial")) + 1;
    model.send({ kind: "move", serial: sent, quick, values: read() });
    clearTimeout(lostTimer);
    lostTimer = setTimeout(answered, LOST);
    busyTimer ||= setTimeout(() => waits(true), BUSY);
  };
  const ask = (quick) => { if (free) send(quick); else waiting = { quick }; };
  const calm = () => {
    clearTimeout(busyTimer);
    busyTimer = 0;
    waits(false);
  };
  const answered = (event) => {
    clearTimeout(lostTimer);
    free = true;
    const next = waiting;
    waiting = null;
    if (event === "heard") calm();
    if (next) send(next.quick);
  };
  return {
    moved() {
      ask(true);
      clearTimeout(restTimer);
      restTimer = setTimeout(() => { restTimer = 0; ask(false); touch(model); }, REST);
    },
    heard() { if (!free && model.get("serial") >= sent) answered("heard"); },
    resting: () => !restTimer && free,
    forget() { clearTimeout(restTimer); restTimer = 0; waiting = null; }, // what the hand asked for no longer counts
    stop() { clearTimeout(restTimer); clearTimeout(lostTimer); free = true; waiting = null; restTimer = 0; calm(); },
  };
}

// Pin, reset and the two kinds of file, as buttons.
function buttonsFor(model, forget) {
  const button = (text, message, hint) => {
    const node = make("button", { type: "button", title: hint }, text);
    node.addEventListener("click", () => model.send(message()));
    return node;
  };
  const pin = button("Pin", () => ({ kind: "pin" }), "Keep the present curves in grey to compare with");
  const swap = button("Swap", () => ({ kind: "swap" }), "Change places with the pinned setting");
  const node = make("div", { class: "sp-buttons" }, pin, swap,
    button("Reset", () => { forget(); return { kind: "reset" }; }, "Back to the first values"),
    button("Save PNG", () => ({ kind: "save", format: "png" }), "Save the picture as a PNG file"),
    button("Save SVG", () => ({ kind: "save", format: "svg" }), "Save the picture as an SVG file"));
  return { pin, swap, node };
}

// The hint of a control is shown beside the buttons while the control has the focus, where there is no room for all.
function hintLine(hand) {
  const line = make("div", { class: "sp-hint", "aria-hidden": "true" });
  hand.addEventListener("focusin", (event) => {
    line.textContent = event.target.closest(".sp-control")?.querySelector(".sp-direction")?.textContent ?? "";
  });
  return line;
}

function render({ model, el }) {
  const parts = new Map();
  const post = courier(model, () => Object.fromEntries([...parts].map(([name, part]) => [name, part.value()])),
    (waits) => { busy = waits; flags(); });
  for (const control of model.get("controls")) parts.set(control.name, controlFor(control, post.moved));

  const image = make("img", { alt: "", draggable: "false" });
  const flag = make("div", { class: "sp-old", hidden: true });
  const status = make("div", { class: "sp-status", role: "status" });
  const table = make("table", { class: "sp-numbers" });
  const { hand, groups } = handOf(model.get("controls"), parts, make);
  const labels = new Map(model.get("controls").map((control) => [control.name, control.label.toLowerCase()]));
  const stops = model.get("controls").filter((control) => control.lasts)
    .map((control) => player(control, parts.get(control.name), post.moved, make));
  const { pin, swap, node: buttons } = buttonsFor(model, () => { post.forget(); status.style.minHeight = ""; });
  const scene = make("div", { class: "sp-picture" }, image, flag);
  const stage = make("div", { class: "sp-stage" }, scene, status);
  const root = make("section", { class: "suspedu-panel", "aria-label": model.get("title") || "Panel" },
    make("div", { class: "sp-sheet" }, stage,
      make("div", { class: "sp-under" }, make("div", {}, hand, hintLine(hand), buttons), make("div", { class: "sp-read" }, table))));
  root.classList.toggle("sp-many", parts.size > 5);
  if (model.get("picked")) pickable(image, model);
  el.append(root);

  let drawn = null, busy = false, lost = "";
  const picture = () => {
    const bytes = model.get("picture"), serial = model.get("serial"), [width, height] = model.get("size");
    if (image.getAttribute("width") !== String(width)) image.width = width;
    if (image.getAttribute("height") !== String(height)) image.height = height;
    if (bytes === drawn) return;
    drawn = bytes;
    image.onload = () => { image.dataset.serial = serial; };
    image.src = dataUrl(bytes);
  };
  const flags = () => { // whatever the picture is, but not the picture of what the sliders say
    const problem = model.get("problem"), words = lost ? "last picture" : problem ? "earlier picture" : busy ? "being worked out ..." : "";
    if (flag.textContent !== words) flag.textContent = words;
    flag.hidden = !words;
    root.classList.toggle("sp-stale", Boolean(lost || problem || busy));
    root.classList.toggle("sp-lost", Boolean(lost));
    root.setAttribute("aria-busy", String(busy));
  };
  const texts = () => {
    const problem = lost || model.get("problem"), sentence = model.get("sentence"), compared = model.get("compared");
    image.alt = `${problem ? "Earlier picture. " : ""}${sentence} ${compared}`.trim();
    flags();
    numbersTable(model.get("numbers"), table);
    const last = [["sp-sentence", sentence], ["sp-compared", compared]];
    const lines = lost ? [["sp-problem", lost], ...last] : problem ? [["sp-problem", problem]] : last;
    const shown = lines.filter(([, text]) => text).map(([name, text]) => make("p", { class: name }, text));
    status.setAttribute("aria-busy", String(!post.resting())); // read aloud once the hand rests
    if (status.textContent === shown.map((line) => line.textContent).join("")) return;
    const kinds = shown.map((line) => line.className).join();
    if (status.dataset.kinds !== kinds) status.style.minHeight = ""; // a pin or a problem went: so does its room
    status.dataset.kinds = kinds;
    status.replaceChildren(...shown);
    const grown = Math.max(parseFloat(status.style.minHeight) || 0, status.scrollHeight); // never shrinks under the hand
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
    const room = Math.floor(scene.clientWidth / 10) * 10;
    if (!room) return; // not on the page yet
    if (room !== width) status.style.minHeight = "";
    width = room;
    const message = { kind: "screen", theme, ratio: devicePixelRatio, width, height: roomFor(root, scene, status) };
    if (JSON.stringify(message) !== told && !lost) model.send(message);
    told = JSON.stringify(message);
  };
  let screenTimer = 0;
  const screenSoon = () => { clearTimeout(screenTimer); screenTimer = setTimeout(screen, 60); };

  const refresh = () => { picture(); post.heard(); pinState(); values(); texts(); };
  const live = (why) => { // greyed at once: no old picture stands under a slider that still moves
    lost = why;
    if (lost) post.stop(); else told = "";
    for (const node of root.querySelectorAll("input, select, button")) node.disabled = Boolean(lost);
    refresh();
    if (!lost) screenSoon();
  };
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
  const endings = [keepKeys(root), followKernel(model, el, live)];
  return () => {
    for (const [name, action] of Object.entries(heard)) model.off(name, action);
    for (const ending of [...endings, ...stops]) ending();
    sizes.disconnect(); themes.disconnect(); post.stop(); clearTimeout(screenTimer);
    scheme.removeEventListener("change", screenSoon);
    removeEventListener("resize", screenSoon);
  };
}

export default { render };
