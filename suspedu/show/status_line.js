// A line of text that is read aloud when it changes. It also looks after the box of widgets that it stands in:
// the box gets its name and its look, and a key pressed in it is no shortcut of the notebook.
const stop = (event) => event.stopPropagation();

function render({ model, el }) {
  const line = document.createElement("div");
  line.className = "suspedu-status";
  line.setAttribute("role", "status");
  const told = () => { line.textContent = model.get("value"); };
  model.on("change:value", told);
  told();
  el.append(line);

  let frame = 0, box = null;
  const find = () => { // the box takes its children in after they are made
    box = el.closest(".widget-vbox, .widget-box");
    if (!box) { frame = requestAnimationFrame(find); return; }
    box.classList.add("suspedu-box");
    box.dataset.lmSuppressShortcuts = "true";
    box.setAttribute("role", "group");
    box.setAttribute("aria-label", model.get("name"));
    box.addEventListener("keydown", stop);
  };
  find();
  return () => {
    cancelAnimationFrame(frame);
    box?.removeEventListener("keydown", stop);
    model.off("change:value", told);
  };
}

export default { render };
