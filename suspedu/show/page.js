// What all pieces of ours on a page share: nodes, keys, and whether the kernel behind them still lives.
// `scripts.py` puts these lines before each piece's own; plain JavaScript, no build step.

const own = Math.random().toString(36).slice(2, 10); // each piece of a page loads this anew: ids must differ all the same
const EDITING = "acvxyz"; // with Ctrl they belong to the field that is typed in
const ENDED = /^(restarting|autorestarting|terminating|dead)$/;
const keepers = (globalThis.suspeduKeepers ??= new WeakSet()); // files that a piece of ours looks after
const REVIVE = "To bring it to life: Run > Run All Cells.";

function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== false) node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children);
  return node;
}

function isCommand(event) {
  const typed = event.getModifierState("AltGraph"); // on many keyboards Ctrl and Alt at once: it makes a character
  const modified = (event.ctrlKey || event.metaKey || event.altKey) && !typed;
  const editing = event.target.matches?.("input:not([type=range]):not([type=radio]):not([type=checkbox]), textarea")
    && EDITING.includes(event.key.toLowerCase());
  return (modified && !editing) || (event.shiftKey && event.key === "Enter");
}

// Plain keys stay here, so that no shortcut of the notebook fires; all others are the page's. Esc leaves.
function keepKeys(root) {
  const heard = (event) => {
    if (isCommand(event)) return;
    event.stopPropagation();
    if (event.key !== "Escape" || event.defaultPrevented) return;
    const outside = root.closest(".jp-Cell") ?? root.parentElement.closest("[tabindex]");
    event.target.blur();
    outside?.focus({ preventScroll: true });
  };
  root.addEventListener("keydown", heard);
  return () => root.removeEventListener("keydown", heard);
}

// Tells why a piece is no longer live, at once and whenever that changes; "" while it is live.
function followKernel(model, el, tell) {
  const session = model.widget_manager?.context?.sessionContext; // where the page is JupyterLab's
  const kernel = () => session?.session?.kernel;
  const first = kernel()?.id;
  let ended = false, told = "";
  const look = (_sender, heard) => {
    const now = kernel();
    ended ||= Boolean(session && first) && (now?.id !== first || ENDED.test(now.status) || ENDED.test(heard));
    ended ||= Boolean(el.closest(".jupyter-widgets-disconnected"));
    if (ended) model.set("lost", true); // for the file, should the page be saved now
    const cut = session && first && now?.connectionStatus !== "connected";
    const why = ended ? `Not live: its kernel was stopped or started anew. ${REVIVE}`
      : cut ? "Not live for now: the connection to its kernel is lost." : "";
    if (why !== told) tell(told = why);
  };
  const signals = session ? [session.kernelChanged, session.statusChanged, session.connectionStatusChanged] : [];
  for (const signal of signals) signal.connect(look);
  const classes = new MutationObserver(() => look());
  classes.observe(el, { attributes: true, attributeFilter: ["class"] });
  look();
  return () => { classes.disconnect(); for (const signal of signals) signal.disconnect(look); };
}

// What is on the page is no longer what the file holds: JupyterLab then saves it by itself, too.
function touch(model) {
  const book = model.widget_manager?.context?.model;
  if (book) book.dirty = true;
}

// With each save the file keeps what the widgets show (nbformat's own place for it), whatever server saves it: opened
// without its kernel, the page then shows that instead of an error. The course's own server makes stills of it.
function keepWithFile(model) {
  const manager = model.widget_manager, context = manager?.context;
  if (!context?.saveState?.connect || keepers.has(context)) return;
  keepers.add(context);
  context.saveState.connect((_context, what) => {
    if (what !== "started") return;
    const state = manager.get_state_sync({ drop_defaults: true }); // at once: what is saved is read right after
    context.model.setMetadata("widgets", { "application/vnd.jupyter.widget-state+json": state });
  });
}
