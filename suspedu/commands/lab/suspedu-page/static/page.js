// What the course's own JupyterLab does besides: the reader stays where he is when all cells run, with the progress
// in sight; the side bar starts closed; bars of folded code are not shown. Plain JavaScript, no build step.

const STEP = 200; // ms between two looks at what still runs
const LOOK = `
  .jp-CodeCell > .jp-Cell-inputWrapper:has(.jp-InputPlaceholder) { display: none; }
  .jp-CodeCell.jp-mod-active { position: relative; }
  .jp-CodeCell.jp-mod-active > .jp-Cell-inputWrapper:has(.jp-InputPlaceholder) { display: block; position: absolute; z-index: 4;
    top: 30px; left: 12px; width: calc(var(--jp-cell-prompt-width) - 8px); } /* takes no room: a press finds all where it was */
  .jp-InputPlaceholder .jp-InputPrompt, .jp-InputPlaceholder pre { display: none; }
  .jp-InputPlaceholder, .jp-InputPlaceholder * { min-width: 0; max-width: 100%; overflow: hidden; text-overflow: ellipsis; }
  .suspedu-progress { position: absolute; z-index: 5; top: 0; left: 0; right: 0; display: flex; align-items: center; gap: 12px;
    padding: 3px 14px; background: var(--jp-layout-color1); color: var(--jp-ui-font-color1); font: 13px/1.5 var(--jp-ui-font-family);
    border-bottom: 1px solid var(--jp-border-color2); }
  .suspedu-progress progress { flex: 1; max-width: 320px; height: 8px; accent-color: var(--jp-brand-color1); }`;

const isRunAll = (id) => id === "notebook:run-all-cells" || id === "notebook:restart-run-all";

// The bar over a notebook while its cells run: how many are done, of how many.
function progress(panel, done) {
  const cells = panel.content.widgets.filter((cell) => cell.model.type === "code");
  const bar = Object.assign(document.createElement("progress"), { max: cells.length, value: 0 });
  const words = document.createElement("span");
  const line = document.createElement("div");
  line.className = "suspedu-progress";
  line.setAttribute("role", "status");
  bar.setAttribute("aria-label", "cells that have run");
  line.append(bar, words);
  panel.content.node.append(line);
  const waiting = () => cells.filter((cell) => cell.model.executionState === "running").length; // or waits for its turn
  const look = () => {
    bar.value = cells.length - waiting();
    words.textContent = `${bar.value} of ${cells.length} cells have run`;
  };
  look();
  const timer = setInterval(look, STEP);
  const end = () => { clearInterval(timer); line.remove(); };
  done.then(end, end);
}

// Run a command, and leave reader and cell in use where they were.
function staying(panel, run) {
  const book = panel.content, scroller = book.node.querySelector(".jp-WindowedPanel-outer") ?? book.node;
  const active = book.activeCellIndex, top = scroller.scrollTop;
  const result = run();
  const back = () => {
    book.activeCellIndex = active;
    scroller.scrollTop = top;
  };
  back();
  requestAnimationFrame(() => { back(); requestAnimationFrame(back); });
  progress(panel, Promise.resolve(result));
  return result;
}

function activate(app) {
  const style = document.createElement("style");
  style.textContent = LOOK;
  document.head.append(style);
  app.restored.then(() => app.shell.collapseLeft?.());
  const execute = app.commands.execute.bind(app.commands);
  app.commands.execute = (id, args) => {
    const panel = app.shell.currentWidget;
    const run = () => execute(id, args);
    return isRunAll(id) && panel?.content?.activeCell ? staying(panel, run) : run();
  };
}

const plugin = { id: "suspedu-page:manners", autoStart: true, activate };
window._JUPYTERLAB = window._JUPYTERLAB ?? {};
window._JUPYTERLAB["suspedu-page"] = { init: () => undefined, get: async () => () => ({ __esModule: true, default: plugin }) };
