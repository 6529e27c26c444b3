// Messages from a panel to its kernel. One is on its way at a time; the newest values win.
// Only what the hand has turned is sent: a turn may bring other controls along, and where those stand the kernel says.

const REST = 90; // ms without an event until the crisp picture is asked for
const LOST = 5000; // ms after which an unanswered message counts as lost
const BUSY = 250; // ms without an answer until the page says that it waits

// Sends the newest values as soon as the answer to the last message is there; says when that takes its time.
function courier(model, read, waits) {
  const turned = new Set(); // controls whose last place the kernel has not answered
  let sent = 0, waiting = null, restTimer = 0, lostTimer = 0, busyTimer = 0, free = true;
  const send = (quick) => {
    free = false;
    sent = Math.max(sent, model.get("serial")) + 1;
    const values = Object.fromEntries(Object.entries(read()).filter(([name]) => turned.has(name)));
    model.send({ kind: "move", serial: sent, quick, values });
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
    moved(...names) {
      for (const name of names) turned.add(name);
      ask(true);
      clearTimeout(restTimer);
      restTimer = setTimeout(() => { restTimer = 0; ask(false); touch(model); }, REST);
    },
    heard() {
      if (model.get("serial") < sent) return;
      if (!free) answered("heard");
      if (free && !restTimer) turned.clear();
    },
    resting: () => !restTimer && free,
    turned: (name) => turned.has(name),
    forget() { clearTimeout(restTimer); restTimer = 0; waiting = null; turned.clear(); }, // what the hand asked for no longer counts
    stop() { this.forget(); clearTimeout(lostTimer); free = true; calm(); },
  };
}
