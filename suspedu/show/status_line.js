// A line of text that is read aloud when it changes. It also looks after the box of widgets that it stands in:
// the box gets its name and its look, and a key pressed in it is no shortcut of the notebook.
function render({ model, el }) {
  const line = document.createElement("div");
  line.className = "suspedu-status";
  line.setAttribute("role", "status");
  let lost = "";
  const told = () => { line.textContent = lost || model.get("value"); };
  const save = async (content) => { // the notebook that this stands in, whatever its file is called now
    if (content.kind !== "save") return;
    const context = model.widget_manager?.context;
    try {
      await context?.save();
      model.send({ kind: "saved", path: context?.path ?? "", fault: context?.model.dirty ? "it was not saved" : "" });
    } catch (fault) {
      model.send({ kind: "saved", path: context.path, fault: String(fault?.message ?? fault) });
    }
  };
  model.on("msg:custom", save);
  model.on("change:value", told);
  told();
  el.append(line);

  const live = (why) => { // what stands in the box can no longer be worked with
    lost = why;
    told();
    for (const node of box.children) node.inert = Boolean(lost) && !node.contains(line);
    box.classList.toggle("suspedu-lost", Boolean(lost));
  };
  let frame = 0, box = null, endings = [];
  const find = () => { // the box takes its children in after they are made
    box = el.closest(".widget-vbox, .widget-box");
    if (!box) { frame = requestAnimationFrame(find); return; }
    box.classList.add("suspedu-box");
    box.setAttribute("role", "group");
    box.setAttribute("aria-label", model.get("name"));
    endings = [keepKeys(box), followKernel(model, el, live)];
  };
  find();
  keepWithFile(model);
  return () => {
    cancelAnimationFrame(frame);
    for (const end of endings) end();
    model.off("msg:custom", save);
    model.off("change:value", told);
  };
}

export default { render };
