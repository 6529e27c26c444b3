// A question in a lesson: native radio buttons, a number field, or nothing but a button; the button sends the answer.
let count = 0;

function choices(model, name) {
  const inputs = model.get("options").map((option, i) => make("input", { type: "radio", name, id: `${name}-${i}`, value: option }));
  const lines = inputs.map((input) => make("label", { class: "sq-option", for: input.id }, input, make("span", {}, input.value)));
  const legend = make("legend", {}, model.get("question"));
  return {
    node: make("fieldset", {}, legend, ...lines),
    read: () => inputs.find((input) => input.checked)?.value ?? "",
    show: (answer) => inputs.forEach((input) => { input.checked = input.value === answer; }),
  };
}

function numberField(model, name, record) {
  const input = make("input", { type: "text", inputmode: "decimal", id: name, autocomplete: "off", "aria-describedby": `${name}-unit` });
  input.addEventListener("keydown", (event) => { if (event.key === "Enter") record(); });
  const unit = make("span", { id: `${name}-unit` }, model.get("unit"));
  return {
    node: make("div", { class: "sq-number" }, make("label", { for: name }, model.get("question")), make("div", {}, input, " ", unit)),
    read: () => input.value,
    show: (answer) => { input.value = answer.split(" ")[0]; },
  };
}

function buttonOnly(model) {
  return { node: make("p", {}, model.get("question")), read: () => "as it stands", show: () => {} };
}

function render({ model, el }) {
  const name = `suspedu-question-${own}-${++count}`;
  const record = () => { model.send({ answer: field.read() }); touch(model); };
  const [head, deed, again] = model.get("words");
  const field = model.get("options").length ? choices(model, name) : again ? numberField(model, name, record) : buttonOnly(model);
  const button = make("button", { type: "button" }, deed);
  button.addEventListener("click", record);
  const status = make("span", { role: "status" });
  const root = make("section", { class: "suspedu-question", "aria-label": head },
    make("div", { class: "sq-head", "aria-hidden": "true" }, head), field.node, make("div", { class: "sq-foot" }, button, status));
  let lost = "";
  const told = () => {
    status.textContent = lost || model.get("said");
    if (model.get("answer")) field.show(model.get("answer"));
    button.textContent = model.get("answer") && again ? again : deed;
  };
  model.on("change:said", told);
  model.on("change:answer", told);
  told();
  el.append(root);
  const live = (why) => {
    lost = why;
    for (const node of root.querySelectorAll("input, button")) node.disabled = Boolean(lost);
    told();
  };
  keepWithFile(model);
  const endings = [keepKeys(root), followKernel(model, el, live)];
  return () => { endings.forEach((end) => end()); model.off("change:said", told); model.off("change:answer", told); };
}

export default { render };
