// The page's side of a panel: native controls, the picture, its sentence and numbers.
// Plain JavaScript, no build step; `panel.py` names the files that come before it.

// Pin, reset and the two kinds of file, as buttons.
function buttonsFor(model, before) {
  const button = (text, message, hint) => {
    const node = make("button", { type: "button", title: hint }, text);
    node.addEventListener("click", () => { before(message.kind); model.send(message); });
    return node;
  };
  const pin = button("Pin", { kind: "pin" }, "Keep the present curves in grey to compare with");
  const swap = button("Swap", { kind: "swap" }, "Change places with the pinned setting");
  const node = make("div", { class: "sp-buttons" }, pin, swap,
    button("Reset", { kind: "reset" }, "Back to the first values"),
    button("Save PNG", { kind: "save", format: "png" }, "Save the picture as a PNG file"),
    button("Save SVG", { kind: "save", format: "svg" }, "Save the picture as an SVG file"));
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
  const read = () => Object.fromEntries([...parts].map(([name, part]) => [name, part.value()]));
  const plays = () => players.some((film) => film.plays());
  const moved = (name) => { // of a film that plays the kernel knows no place
    post.moved(...(plays() ? parts.keys() : [name]));
    steps.moved(name);
    for (const film of players) film.again();
  };
  const post = courier(model, read, (waits) => { busy = waits; flags(); });
  for (const control of model.get("controls")) parts.set(control.name, controlFor(control, () => moved(control.name)));
  const steps = stepsAhead(model, model.get("controls"), read);

  const image = make("img", { alt: "", draggable: "false", decoding: "sync" });
  const flag = make("div", { class: "sp-old", hidden: true });
  const status = make("div", { class: "sp-status", role: "status" });
  const table = make("table", { class: "sp-numbers" });
  const { hand, groups } = handOf(model.get("controls"), parts, make);
  const labels = new Map(model.get("controls").map((control) => [control.name, control.label.toLowerCase()]));
  const players = model.get("controls").filter((control) => control.lasts)
    .map((control) => player(control, parts.get(control.name), post, model, read));
  const films = filmButtons(model, make);
  const { pin, swap, node: buttons } = buttonsFor(model, (kind) => {
    for (const film of players) film.stop(kind !== "reset");
    steps.forget();
    if (kind === "reset" || kind === "swap") post.forget();
    if (kind !== "reset") return;
    status.style.minHeight = "";
    for (const [name, part] of parts) part.set(model.get("start")[name]); // a key that follows at once goes on from here
  });
  buttons.append(...films.nodes);
  const scene = make("div", { class: "sp-picture" }, image, flag);
  const stage = make("div", { class: "sp-stage" }, scene, status);
  const root = make("section", { class: "suspedu-panel", "aria-label": model.get("title") || "Panel" },
    make("div", { class: "sp-sheet" }, stage,
      make("div", { class: "sp-under" }, make("div", {}, hand, hintLine(hand), buttons), make("div", { class: "sp-read" }, table))));
  const glass = glassFor(model, root, image, status, inSight(hand, () => glass.look()));
  root.firstElementChild.prepend(glass.node);
  root.classList.toggle("sp-many", parts.size > 5);
  if (model.get("picked")) {
    image.addEventListener("click", () => { for (const film of players) film.stop(); });
    pickable(image, model);
  }
  root.addEventListener("keydown", (event) => {
    const back = event.key === "Escape" ? goneBack(parts, model.get("escape")) : [];
    if (back.length) { event.preventDefault(); post.moved(...back); }
  }, true);
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
    status.setAttribute("aria-busy", String(!post.resting() || plays())); // read aloud once the hand rests
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
    for (const [name, value] of Object.entries(model.get("values"))) {
      if (!post.turned(name)) parts.get(name)?.set(value); // the hand is ahead of the answer
    }
    tellLed(model.get("controls"), parts, post.turned);
    tellFolds(groups, model, labels);
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
    if (JSON.stringify(message) !== told && !lost) { model.send(message); steps.forget(); }
    told = JSON.stringify(message);
    glass.look();
  };
  let screenTimer = 0;
  const screenSoon = () => { clearTimeout(screenTimer); screenTimer = setTimeout(screen, 60); };

  const idle = () => post.resting() && !lost && !plays();
  for (const control of model.get("controls").filter((each) => each.step)) {
    const { input } = parts.get(control.name);
    input.addEventListener("pointermove", (event) => {
      if (!event.buttons && idle()) steps.over(control, placeUnder(event, input, control), model.get("work"));
    });
  }
  const refresh = () => {
    picture(); post.heard(); pinState(); values(); texts(); glass.look();
    if (idle()) steps.rested(model.get("work"));
  };
  const live = (why) => { // greyed at once: no old picture stands under a slider that still moves
    lost = why;
    for (const film of players) film.stop(false);
    if (lost) { post.stop(); steps.forget(); } else told = "";
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
  keepWithFile(model);
  const endings = [keepKeys(root), followKernel(model, el, live)];
  return () => {
    for (const [name, action] of Object.entries(heard)) model.off(name, action);
    for (const ending of [...endings, ...players.map(({ end }) => end), steps.end, films.stop, glass.end]) ending();
    sizes.disconnect(); themes.disconnect(); post.stop(); clearTimeout(screenTimer);
    scheme.removeEventListener("change", screenSoon);
    removeEventListener("resize", screenSoon);
  };
}

export default { render };
