// The next step of a slider, either way, made while the hand rests: the key that takes it finds the picture here.
// Loaded before panel.js, as one script with it.

const LIGHT_WORK = 40; // ms of the processor for an answer; two of a slower panel would keep the hand waiting for steps it may not take

function stepsAhead(model, controls, read) {
  let frames = [], control = null, asked = "", ticket = 0, others = "";
  const without = (values) => JSON.stringify({ ...values, [control.name]: null });
  const ask = () => {
    const values = read();
    if (!control || JSON.stringify(values) === asked) return;
    asked = JSON.stringify(values);
    others = without(values);
    ticket += 1;
    frames = [];
    const message = { kind: "ahead", control: control.name, ticket: `step ${ticket}`, values, count: 2 };
    model.send({ ...message, first: values[control.name] - control.step, step: 2 * control.step });
  };
  const heard = (content, buffers) => {
    if (content.kind !== "frames" || content.ticket !== `step ${ticket}` || content.problem) return;
    frames = content.frames.map((frame, i) => ({ ...frame, picture: buffers[i] }));
  };
  model.on("msg:custom", heard);
  return {
    // A control was moved: if that was a step that is here, it is shown now; the kernel's own answer follows.
    moved(name) {
      const [before, at] = [control?.name, read()[name]];
      const found = name === before && others === without(read())
        && frames.find(({ place }) => Math.abs(place - at) < control.step / 1000);
      control = controls.find((each) => each.name === name && each.step) ?? null;
      if (!found) return;
      const { place, ...shown } = found;
      model.set(shown);
    },
    rested(work) { if (work < LIGHT_WORK) ask(); },
    forget() { frames = []; asked = ""; ticket += 1; },
    end: () => model.off("msg:custom", heard),
  };
}
