// What some panels have beside sliders and a picture: folded groups, points that are clicked, a film that plays.
// Loaded before panel.js, as one script with it.

const FRAME = 50; // ms between two pictures of a film that plays
const SLOWER = [1, 2, 10]; // times slower than the film lasts
const LATE = 4000; // ms after a move in which its picture may come and take another height
const AHEAD = 15, BATCH = 5; // pictures made before they are due, and those of one answer

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

// A control stays in sight under what covers it: when it takes the focus, and when that grows under the hand.
function inSight(hand, look) {
  let used = 0;
  const bring = () => {
    look();
    const node = document.activeElement;
    if (!hand.contains(node)) return;
    const sheet = hand.closest(".sp-beside .sp-sheet"); // where the controls stand beside the picture, all of it is seen
    sheet?.querySelector(".sp-stage").scrollIntoView({ block: "nearest" });
    node.scrollIntoView({ block: "nearest" });
  };
  hand.addEventListener("focusin", () => { used = performance.now(); requestAnimationFrame(bring); });
  hand.addEventListener("input", () => { used = performance.now(); });
  return () => { if (performance.now() - used < LATE) requestAnimationFrame(bring); };
}

// A folded setting that stands off its start is named on the fold.
function tellFolds(groups, model, labels) {
  const [values, home, conditions] = ["values", "home", "conditions"].map((name) => model.get(name));
  for (const { note, names } of groups.values()) {
    const off = names.filter((name) => values[name] !== home[name] && !conditions.includes(name)).map((name) => labels.get(name));
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

// Brings back what the key Esc brings back; the names of those controls that stood elsewhere.
function goneBack(parts, escape) {
  const off = Object.entries(escape).filter(([name, value]) => parts.get(name).value() !== value);
  for (const [name, value] of off) parts.get(name).set(value);
  return off.map(([name]) => name);
}

// Pictures of a film that come some ahead of their time; `next` is the one that is due, or nothing yet.
function reel(model, control, read, refused) {
  let waiting = [], asked = 0, from = 0, step = 0, ticket = 0, values = null;
  const ask = () => {
    while (asked + waiting.length < AHEAD && from < control.high + step / 2) {
      const count = Math.min(BATCH, Math.max(1, Math.ceil((control.high - from) / step)));
      model.send({ kind: "ahead", control: control.name, ticket, values, first: from, step, count });
      asked += count;
      from += count * step;
    }
  };
  const heard = (content, buffers) => {
    if (content.kind !== "frames" || content.ticket !== ticket || !values) return;
    if (content.problem) { refused(content.problem); return; }
    asked -= content.frames.length;
    waiting.push(...content.frames.map((frame, i) => ({ ...frame, picture: buffers[i] })));
  };
  model.on("msg:custom", heard);
  return {
    start(first, each) { ticket += 1; waiting = []; asked = 0; from = first; step = each; values = read(); ask(); },
    ready: () => waiting.length >= Math.min(BATCH, waiting.length + asked),
    next() { const frame = waiting.shift(); ask(); return frame; },
    stop() { ticket += 1; waiting = []; values = null; },
    end: () => model.off("msg:custom", heard),
  };
}

// Play and pause for a slider that is a film: the page plays pictures that were made ahead, at its own clock.
function player(control, part, post, model, read) {
  const node = make("button", { type: "button", class: "sp-play", "aria-pressed": "false" }, "Play");
  const pace = make("button", { type: "button", class: "sp-play", title: "How fast it plays" });
  let timer = 0, due = 0, slower = 0, begun = false;
  const span = control.high - control.low;
  const each = () => Math.max(control.step, (span * FRAME) / (1000 * control.lasts * SLOWER[slower]));
  const wait = () => (each() / span) * 1000 * control.lasts * SLOWER[slower]; // ms from picture to picture
  const slow = () => { pace.textContent = ["whole speed", "half speed", "a tenth"][slower]; };
  const stop = (tell = true) => {
    if (!timer) return;
    clearInterval(timer);
    timer = 0;
    film.stop();
    node.textContent = "Play";
    node.setAttribute("aria-pressed", "false");
    if (tell && node.isConnected) post.moved(...Object.keys(read())); // the kernel learns where it stands; the crisp picture comes
  };
  const film = reel(model, control, read, () => stop());
  const step = () => {
    if (!node.isConnected) { stop(false); return; }
    const now = performance.now();
    if (now < due || !(begun ||= film.ready())) return;
    const frame = film.next();
    if (!frame) return; // not made yet: the film waits
    due = Math.max(due + wait(), now - FRAME);
    const { place, ...shown } = frame;
    part.set(place);
    model.set(shown);
    if (place >= control.high - control.step / 2) stop();
  };
  const again = () => { // from here on with the values as they are now
    begun = false;
    due = performance.now();
    film.start(part.value(), each());
  };
  const start = () => {
    if (part.value() >= control.high) part.set(control.low);
    again();
    timer = setInterval(step, 8);
    node.textContent = "Pause";
    node.setAttribute("aria-pressed", "true");
  };
  slow();
  node.addEventListener("click", () => (timer ? stop() : start()));
  pace.addEventListener("click", () => {
    slower = (slower + 1) % SLOWER.length;
    slow();
    if (timer) again();
  });
  for (const event of ["pointerdown", "keydown"]) part.input.addEventListener(event, () => stop());
  part.node.append(node, " ", pace);
  return { stop, again: () => timer && again(), end: () => { stop(false); film.end(); }, plays: () => Boolean(timer) };
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
