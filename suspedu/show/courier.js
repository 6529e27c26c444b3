// Messages from a panel to its kernel. One is on its way at a time; the newest values win.

const REST = 90; // ms without an event until the crisp picture is asked for
const LOST = 5000; // ms after which an unanswered message counts as lost
const BUSY = 250; // ms without an answer until the page says that it waits

// Sends the newest values as soon as the answer to the last message is there; says when that takes its time.
function courier(model, read, waits) {
  let sent = 0, waiting = null, restTimer = 0, lostTimer = 0, busyTimer = 0, free = true;
  const send = (quick) => {
    free = false;
    sent = Math.max(sent, model.get("serial")) + 1;
    model.send({ kind: "move", serial: sent, quick, values: read() });
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
    moved() {
      ask(true);
      clearTimeout(restTimer);
      restTimer = setTimeout(() => { restTimer = 0; ask(false); touch(model); }, REST);
    },
    heard() { if (!free && model.get("serial") >= sent) answered("heard"); },
    resting: () => !restTimer && free,
    forget() { clearTimeout(restTimer); restTimer = 0; waiting = null; }, // what the hand asked for no longer counts
    stop() { clearTimeout(restTimer); clearTimeout(lostTimer); free = true; waiting = null; restTimer = 0; calm(); },
  };
}
