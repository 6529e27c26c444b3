// A form in a lesson: native fields in groups, a sentence beside each slip, buttons, and what came of it below.
// Plain JavaScript, no build step. Texts only: nothing that comes from the kernel is read as HTML.
const PAUSE = 200; // ms without a key until what was typed is checked
let count = 0;

function inputFor(field, id) {
  if (field.kind === "choice") return make("select", { id });
  if (field.kind === "long") return make("textarea", { id, rows: 3 });
  const plain = { type: "text", id, autocomplete: "off", spellcheck: "false" };
  return make("input", field.kind === "text" ? plain : { ...plain, inputmode: "decimal" });
}

function fieldFor(field, changed) {
  const id = `suspedu-form-${own}-${++count}`;
  const input = inputFor(field, id), slip = make("div", { class: "sf-slip", id: `${id}-slip` });
  const hint = make("div", { class: "sf-hint", id: `${id}-hint` }, field.hint || "");
  const unit = make("span", { class: "sf-unit" }, field.unit || "");
  const lent = make("span", { class: "sf-lent" });
  input.setAttribute("aria-describedby", `${id}-slip ${id}-hint`);
  input.addEventListener(field.kind === "choice" ? "change" : "input", changed);
  const node = make("div", { class: `sf-field sf-${field.kind}` }, make("label", { for: id }, field.label),
    make("div", { class: "sf-line" }, input, unit, lent), slip, hint);
  return {
    node, input, value: () => input.value,
    set(text) { if (input.value !== text) input.value = text; },
    options(pairs) {
      const before = input.value;
      input.replaceChildren(...pairs.map(([value, words]) => make("option", { value }, words)));
      if (pairs.some(([value]) => value === before)) input.value = before;
    },
    told(problem, school, words) {
      slip.textContent = problem;
      input.toggleAttribute("aria-invalid", Boolean(problem));
      if (problem) input.setAttribute("aria-invalid", "true");
      node.classList.toggle("sf-wrong", Boolean(problem));
      if (field.kind !== "choice") input.setAttribute("placeholder", school ? school.replace(/ .*/, "") : "");
      lent.textContent = school && field.kind !== "choice" && !input.value.trim() ? words : "";
    },
  };
}

const blocks = {
  text: (block) => make("p", { class: `sf-text sf-${block.role || "plain"}` }, block.text),
  list: (block) => make("div", { class: "sf-text" }, make("h4", {}, block.title),
    make("ul", {}, ...block.entries.map((entry) => make("li", {}, entry)))),
  table: (block) => {
    const cell = (text, scope) => make(scope && text ? "th" : "td", scope && text ? { scope } : {}, text); // no empty heads
    const head = make("tr", {}, ...block.heads.map((text) => cell(text, "col")));
    const rows = block.rows.map((row) => make("tr", {}, ...row.map((text, i) => cell(text, i ? "" : "row"))));
    return make("div", { class: "sf-table" }, make("table", {}, make("caption", {}, block.title), make("thead", {}, head), make("tbody", {}, ...rows)));
  },
  picture: (block) => make("img", { src: `data:image/png;base64,${block.png}`, alt: block.text }),
};

function download(content, buffer) {
  const url = URL.createObjectURL(new Blob([buffer], { type: content.type }));
  make("a", { href: url, download: content.name }).click();
  setTimeout(() => URL.revokeObjectURL(url), 1000);
}

function render({ model, el }) {
  let timer = 0, lost = "";
  const parts = new Map();
  const read = () => Object.fromEntries([...parts].map(([key, part]) => [key, part.value()]));
  let sent = model.get("serial");
  const edited = new Map(); // in which message a field's last edit goes: answers to earlier ones leave it as it is
  const send = (message) => { clearTimeout(timer); timer = 0; model.send({ ...message, serial: ++sent, values: read() }); };
  const typed = (key, now) => () => {
    edited.set(key, sent + 1);
    show.problems();
    clearTimeout(timer);
    timer = setTimeout(() => send({ kind: "typed" }), now ? 0 : PAUSE);
  };
  const groups = model.get("groups").map((group) => {
    const fields = group.fields.map((field) => {
      const part = fieldFor(field, typed(field.key, field.kind === "choice"));
      parts.set(field.key, part);
      return part.node;
    });
    const grid = make("div", { class: "sf-grid" }, ...fields);
    if (!group.folded) return make("fieldset", {}, make("legend", {}, group.title), grid);
    return make("details", {}, make("summary", {}, group.title), grid);
  });
  const buttons = model.get("buttons").map(([name, words]) => {
    const node = make("button", { type: "button" }, words);
    node.addEventListener("click", () => send({ kind: "press", name }));
    return node;
  });
  const said = make("div", { class: "sf-said", role: "status" });
  const bar = make("progress", { hidden: true, "aria-label": "progress" });
  const cancel = make("button", { type: "button", hidden: true }, "Cancel");
  cancel.addEventListener("click", () => { send({ kind: "press", name: "cancel" }); buttons[0].focus(); });
  const result = make("div", { class: "sf-result" });
  const root = make("section", { class: "suspedu-form", "aria-label": model.get("title") },
    make("h3", {}, model.get("title")), ...groups, make("div", { class: "sf-buttons" }, ...buttons, bar, cancel), said, result);
  const live = (why) => { // the kernel that answers is gone, or back
    lost = why;
    root.classList.toggle("sf-lost", Boolean(why));
    for (const node of root.querySelectorAll("input, select, textarea, button")) node.disabled = Boolean(why);
    show.said();
  };

  const show = {
    options() { for (const [key, pairs] of Object.entries(model.get("options"))) parts.get(key)?.options(pairs); },
    values() {
      const values = model.get("values");
      for (const [key, part] of parts) {
        if (!(edited.get(key) > model.get("serial"))) part.set(values[key] ?? "");
      }
    },
    problems() {
      const [problems, lent, words] = ["problems", "lent", "lender"].map((name) => model.get(name));
      for (const [key, part] of parts) part.told(problems[key] ?? "", lent[key] ?? "", words);
    },
    said() { said.textContent = lost || model.get("said"); },
    blocks() { result.replaceChildren(...model.get("blocks").map((block) => blocks[block.kind](block))); },
    busy() {
      const [done, total] = model.get("busy");
      bar.hidden = cancel.hidden = !total;
      if (total) { bar.max = total; bar.value = done; }
    },
  };
  for (const name of Object.keys(show)) model.on(`change:${name}`, show[name]);
  model.on("change:lent", show.problems);
  model.on("change:values", show.problems);
  for (const draw of Object.values(show)) draw();
  show.problems();
  const files = (content, buffers) => { if (content.kind === "file") download(content, buffers[0]); };
  model.on("msg:custom", files);
  el.append(root);
  keepWithFile(model);
  const endings = [keepKeys(root), followKernel(model, el, live)];
  return () => {
    for (const end of endings) end();
    clearTimeout(timer);
    for (const name of Object.keys(show)) model.off(`change:${name}`, show[name]);
    model.off("change:lent", show.problems);
    model.off("change:values", show.problems);
    model.off("msg:custom", files);
  };
}

export default { render };
