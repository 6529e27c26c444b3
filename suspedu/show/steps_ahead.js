// Where the hand can take a slider next, made while it rests: by key a step or a page of steps, either way; by mouse the
// place on the track under the pointer. The key or the click that goes there finds its picture here.
// Loaded before panel.js, as one script with it.

const LIGHT_WORK = 40; // ms of the processor for an answer; a slower panel would keep the hand waiting
const LOOKS = 200; // ms of rest until a step is made ahead: who drags on sooner asks for other pictures
const STANDS = 40; // ms that the pointer stands still over a track: a hand stops before it clicks
const KEPT = 12; // pictures at most: a pointer that wanders along the track asks for one at each stop
const KNOB = 18; // px, as panel.css draws it: its middle goes to the pointer

// A step, then a page (a tenth of the range, as browsers jump), first the way that the hand went; not beyond the ends.
function placesNear(at, way, { low, high, step }) {
  const page = Math.max(step, Math.round((high - low) / 10 / step) * step);
  const places = [way * step, -way * step, way * page, -way * page].map((far) => Math.min(Math.max(at + far, low), high));
  return places.filter((place, i) => place !== at && places.indexOf(place) === i);
}

// Where a click would take a slider.
function placeUnder(event, input, { low, high, step }) {
  const box = input.getBoundingClientRect();
  const part = (event.clientX - box.left - KNOB / 2) / (box.width - KNOB);
  const place = low + Math.round((part * (high - low)) / step) * step;
  return Math.min(Math.max(place, low), high);
}

function stepsAhead(model, controls, read) {
  let frames = [], places = [], control = null, at = 0, way = 1, others = "", ticket = 0, timer = 0;
  const name = () => `step ${ticket}`;
  const without = (values) => JSON.stringify({ ...values, [control.name]: null });
  const send = (values, place) => {
    const message = { kind: "ahead", control: control.name, ticket: name(), values, first: place, step: control.step };
    try { model.send({ ...message, count: 1 }); } catch { forget(); } // a kernel that has just gone makes no steps
  };
  const here = (place) => frames.find((frame) => Math.abs(frame.place - place) < control.step / 1000);
  // For a control as it stands now: a place that is wished for, then its steps. Pictures that are here already are kept.
  const ask = (which, wished = []) => {
    const values = read(), same = control === which && at === values[which.name] && others === without(values);
    if (!same) forget();
    control = which;
    at = values[control.name];
    others = without(values);
    places = [...wished, ...placesNear(at, way, control)].filter((place) => place !== at && !here(place));
    next();
  };
  const next = () => { if (places.length) send(read(), places.shift()); };
  const heard = (content, buffers) => {
    if (content.kind !== "frames" || content.ticket !== name() || content.problem) return;
    frames = [...frames, ...content.frames.map((frame, i) => ({ ...frame, picture: buffers[i] }))].slice(-KEPT);
    next(); // one at a time: a hand that moves on waits for one at most
  };
  const forget = () => { clearTimeout(timer); frames = []; places = []; ticket += 1; };
  model.on("msg:custom", heard);
  return {
    // A control was moved: if that was a step that is here, it is shown now; the kernel's own answer follows.
    moved(which) {
      const values = read(), known = control?.name === which && others === without(values);
      const found = known && here(values[which]);
      if (known) way = Math.sign(values[which] - at) || way;
      control = controls.find((each) => each.name === which && each.step) ?? null;
      forget();
      if (!found) return;
      const { place, ...shown } = found;
      model.set(shown);
    },
    rested(work) {
      clearTimeout(timer);
      if (!control || work >= LIGHT_WORK || (frames.length && at === read()[control.name])) return;
      timer = setTimeout(() => ask(control), LOOKS);
    },
    // The pointer moves over the track of a control, no button pressed.
    over(which, place, work) {
      clearTimeout(timer);
      if (work < LIGHT_WORK) timer = setTimeout(() => ask(which, [place]), STANDS);
    },
    forget,
    end: () => { forget(); model.off("msg:custom", heard); },
  };
}
