// What some panels have beside sliders and a picture: folded groups, points that are clicked, a film that plays.
// Loaded before panel.js, as one script with it.

const FRAME = 50; // ms between two pictures of a film that plays
const SLOWER = [1, 2, 10]; // times slower than the film lasts

// The controls in their order, those of a group folded away under its name.
function handOf(controls, parts, element) {
  const hand = element("div", { class: "sp-hand" }), groups = new Map();
  for (const control of controls) {
    const node = parts.get(control.name).node;
    if (!control.group) { hand.append(node); continue; }
    if (!groups.has(control.group)) {
      const note = element("span", { class: "sp-off" });
      const inside = element("div", { class: "sp-hand sp-inside" });
      const folded = element("details", { class: "sp-group" }, element("summary", {}, control.group, note), inside);
      groups.set(control.group, { folded, inside, note, names: [] });
    }
    const group = groups.get(control.group);
    group.inside.append(node);
    group.names.push(control.name);
  }
  for (const group of groups.values()) hand.append(group.folded);
  return { hand, groups };
}

// A folded control that stands off its start is named on the fold.
function tellFolds(groups, values, home, labels) {
  for (const { note, names } of groups.values()) {
    const off = names.filter((name) => values[name] !== home[name]).map((name) => labels.get(name));
    const text = off.length ? `: ${off.join(", ")} changed` : "";
    if (note.textContent !== text) note.textContent = text;
  }
}

// A click into the picture, as shares of it; what it means is known in Python.
function pickable(image, model) {
  image.addEventListener("click", (event) => {
    const box = image.getBoundingClientRect();
    model.send({ kind: "pick", x: (event.clientX - box.left) / box.width, y: (event.clientY - box.top) / box.height });
  });
}

// Controls that the key Esc brings back; whether any of them stood elsewhere.
function goneBack(parts, escape) {
  const off = Object.entries(escape).filter(([name, value]) => parts.get(name).value() !== value);
  for (const [name, value] of off) parts.get(name).set(value);
  return off.length > 0;
}

// Play and pause for a slider that is a film: it moves on with the clock, and the newest picture wins.
function player(control, part, moved, element) {
  const node = element("button", { type: "button", class: "sp-play", "aria-pressed": "false" }, "Play");
  const pace = element("button", { type: "button", class: "sp-play", title: "How fast it plays" });
  let timer = 0, last = 0, slower = 0;
  const slow = () => { pace.textContent = ["whole speed", "half speed", "a tenth"][slower]; };
  pace.addEventListener("click", () => { slower = (slower + 1) % SLOWER.length; slow(); });
  slow();
  const stop = () => {
    clearInterval(timer);
    timer = 0;
    node.textContent = "Play";
    node.setAttribute("aria-pressed", "false");
  };
  const step = (now) => {
    const span = control.high - control.low, gone = ((now - last) / 1000 / control.lasts / SLOWER[slower]) * span;
    const next = part.value() + gone;
    if (gone < control.step) return;
    last = now;
    part.set(Math.min(next, control.high));
    moved();
    if (next >= control.high) stop();
  };
  const start = () => {
    if (part.value() >= control.high) part.set(control.low);
    last = performance.now();
    timer = setInterval(() => { if (node.isConnected) step(performance.now()); else stop(); }, FRAME);
    node.textContent = "Pause";
    node.setAttribute("aria-pressed", "true");
  };
  node.addEventListener("click", () => (timer ? stop() : start()));
  part.input.addEventListener("pointerdown", stop);
  part.input.addEventListener("keydown", stop);
  part.node.append(node, " ", pace);
  return stop;
}

// A film as a file: asked for, told how far it is, and stopped by the same button.
function filmButtons(model, element) {
  const nodes = model.get("movies").map((kind) => {
    const words = `Save ${kind.toUpperCase()}`;
    const node = element("button", { type: "button", title: "Save a film of the whole run; once more: stop" }, words);
    node.addEventListener("click", () => model.send({ kind: "film", format: kind }));
    return { node, words };
  });
  const heard = (content) => {
    if (content.kind !== "film") return;
    for (const { node, words } of nodes) {
      node.textContent = content.done === null ? words : `Stop the film (${Math.round(100 * content.done)} %)`;
    }
  };
  model.on("msg:custom", heard);
  return { nodes: nodes.map(({ node }) => node), stop: () => model.off("msg:custom", heard) };
}
