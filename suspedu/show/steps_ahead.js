// Where a key can take a slider next, made while the hand rests: a step or a page of steps, either way. The key that
// goes there finds its picture here.
// Loaded before panel.js, as one script with it.

const LIGHT_WORK = 40; // ms of the processor for an answer; a slower panel would keep the hand waiting
const LOOKS = 200; // ms of rest until a step is made ahead: who drags on sooner asks for other pictures

// A step, then a page (a tenth of the range, as browsers jump), first the way that the hand went; not beyond the ends.
function placesNear(at, way, { low, high, step }) {
  const page = Math.max(step, Math.round((high - low) / 10 / step) * step);
  const places = [way * step, -way * step, way * page, -way * page].map((far) => Math.min(Math.max(at + far, low), high));
  return places.filter((place, i) => place !== at && places.indexOf(place) === i);
}

function stepsAhead(model, controls, read) {
  let frames = [], places = [], control = null, at = 0, way = 1, others = "", ticket = 0, timer = 0;
  const name = () => `step ${ticket}`;
  const without = (values) => JSON.stringify({ ...values, [control.name]: null });
  const send = (values, place) => {
    const message = { kind: "ahead", control: control.name, ticket: name(), values, first: place, step: control.step };
    try { model.send({ ...message, count: 1 }); } catch { forget(); } // a kernel that has just gone makes no steps
  };
  const ask = () => {
    const values = read();
    frames = [];
    ticket += 1;
    at = values[control.name];
    others = without(values);
    places = placesNear(at, way, control);
    next();
  };
  const next = () => { if (places.length) send(read(), places.shift()); };
  const heard = (content, buffers) => {
    if (content.kind !== "frames" || content.ticket !== name() || content.problem) return;
    frames.push(...content.frames.map((frame, i) => ({ ...frame, picture: buffers[i] })));
    next(); // one at a time: a hand that moves on waits for one at most
  };
  const forget = () => { clearTimeout(timer); frames = []; ticket += 1; };
  model.on("msg:custom", heard);
  return {
    // A control was moved: if that was a step that is here, it is shown now; the kernel's own answer follows.
    moved(which) {
      const values = read(), known = control?.name === which && others === without(values);
      const found = known && frames.find(({ place }) => Math.abs(place - values[which]) < control.step / 1000);
      if (known) way = Math.sign(values[which] - at) || way;
      control = controls.find((each) => each.name === which && each.step) ?? null;
      forget();
      if (!found) return;
      const { place, ...shown } = found;
      model.set(shown);
    },
    rested(work) {
      clearTimeout(timer);
      if (control && work < LIGHT_WORK && (!frames.length || at !== read()[control.name])) timer = setTimeout(ask, LOOKS);
    },
    forget,
    end: () => { forget(); model.off("msg:custom", heard); },
  };
}
