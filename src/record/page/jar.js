/* jar.js: a glass of the vat at the chosen moment, and what one would note beside it. */
const moment = { day: 0 };

function jarFacts(run, row) {
  const facts = [["Looks", LOOKS[wordAt(run, "look", row)] || spaced(wordAt(run, "look", row))],
    ["Smells", spaced(wordAt(run, "smell", row))], ["Is", stateName(wordAt(run, "state", row))]];
  const add = (name, series, unit, percent) => {
    const value = valueAt(run, series, row);
    if (value !== null) facts.push([name, percent ? share(value) : say(value, unit), series]);
  };
  add("Temperature", "temperature", "degC");
  add("pH", "ph", "1");
  add("Leuco", "leuco", "g L-1");
  add("Sugar", "hexose", "g L-1");
  add("Liquor", "volume", "L");
  add("Bed", "bed_depth", "cm");
  add("Film covers", "film_cover", "1", true);
  return facts.filter(([, words]) => words);
}
function jarPicture(run, row) {
  const width = 150, height = 200, floor = 186, left = 22, right = 128;
  const tall = Math.max(highest(run, "level"), 1);
  const scale = 140 / tall;
  const surface = floor - scale * (valueAt(run, "level", row) || 0);
  const depth = scale * (valueAt(run, "bed_depth", row) || 0);
  const bed = floor - (depth > 0.05 ? Math.max(depth, 2) : 0);
  const cover = clamp(valueAt(run, "film_cover", row) || 0, 0, 1), haze = clamp(valueAt(run, "liquor_haze", row) || 0, 0, 1);
  const middle = (left + right) / 2, half = (right - left) / 2;
  const words = jarFacts(run, row).map(([name, value]) => `${name.toLowerCase()} ${value}`).join(", ");
  const svg = draw("svg", { viewBox: `0 0 ${width} ${height}`, class: "jar", role: "img",
    "aria-label": `A jar of the vat on ${sayDay(dayOf(run, run.time[row]))}: ${words}` });
  svg.append(draw("path", { fill: liquorColour(run, row), d:
    `M${left} ${surface}V${floor - 10}q0 10 10 10H${right - 10}q10 0 10 -10V${surface}Z` }));
  if (haze > 0.03) {
    svg.append(draw("path", { class: "haze", opacity: (0.12 * haze).toFixed(2),
      d: `M${left} ${surface}V${floor - 10}q0 10 10 10H${right - 10}q10 0 10 -10V${surface}Z` }));
  }
  if (bed < floor) {
    const shape = `M${left} ${Math.min(bed, floor - 1)}V${floor - 10 > bed ? floor - 10 : bed}q0 ${floor - Math.max(floor - 10, bed)} 10 ${floor - Math.max(floor - 10, bed)}H${right - 10}q10 0 10 ${-(floor - Math.max(floor - 10, bed))}V${bed}Z`;
    svg.append(draw("path", { class: "bed", d: shape }), draw("path", { class: "bed-hatch", d: shape }));
  }
  svg.append(draw("ellipse", { class: "surface", cx: middle, cy: surface, rx: half, ry: 9, fill: liquorColour(run, row) }));
  if (cover > 0.01) { /* an ellipse that covers the share of the surface that the film does */
    const part = Math.sqrt(cover);
    svg.append(draw("ellipse", { class: "film", cx: middle, cy: surface, rx: half * part, ry: 9 * part }));
  }
  svg.append(draw("path", { class: "glass", d: `M${left} 14V${floor - 10}q0 10 10 10H${right - 10}q10 0 10 -10V14` }),
    draw("ellipse", { class: "glass", cx: middle, cy: 14, rx: half, ry: 8 }));
  return svg;
}
function jar(run) {
  const box = make("div", { class: "jar-box", "data-run": RUNS.indexOf(run) });
  const renew = () => {
    const row = rowAt(run.time, clamp(timeOf(run, moment.day), run.time[0], run.end));
    const facts = make("dl", {}, jarFacts(run, row).map(([name, words, series]) =>
      make("div", {}, make("dt", {}, name), make("dd", { "data-fact": series }, words))));
    box.replaceChildren(...(RUNS.length > 1 ? [make("p", { class: "run-name" }, runSign(run), " ", foreign(run.label))] : []),
      jarPicture(run, row), facts);
  };
  on("moment", renew);
  on("units", renew);
  renew();
  return box;
}

/* The slider of the moment: arrow keys move by an hour or by a recorded row, page keys by a day. */
function momentSlider() {
  const from = Math.min(...RUNS.map((run) => dayOf(run, run.time[0])));
  const to = Math.max(...RUNS.map((run) => dayOf(run, run.end)));
  const slider = make("input", { type: "range", id: "moment", min: from, max: to, step: "any", "aria-describedby": "moment-help" });
  const words = make("output", { id: "moment-words", for: "moment" });
  slider.addEventListener("input", () => setMoment(Number(slider.value)));
  slider.addEventListener("keydown", (event) => {
    const step = { ArrowLeft: -1 / 24, ArrowDown: -1 / 24, ArrowRight: 1 / 24, ArrowUp: 1 / 24, PageUp: 1, PageDown: -1 }[event.key];
    if (step) {
      event.preventDefault();
      setMoment(moment.day + step);
    }
  });
  const renew = () => {
    slider.value = moment.day;
    slider.setAttribute("aria-valuetext", sayDay(moment.day));
    words.textContent = sayDay(moment.day);
  };
  on("moment", renew);
  return make("div", { class: "moment" }, make("label", { for: "moment" }, "Moment "), words, slider,
    make("p", { id: "moment-help", class: "hint" }, "Slide, or point at any picture. Arrow keys move by an hour, page keys by a day."));
}
/* Moves to the nearest recorded moment of any run. */
function setMoment(day) {
  let best = null;
  for (const run of RUNS) {
    const near = dayOf(run, run.time[rowAt(run.time, timeOf(run, day))]);
    if (best === null || Math.abs(near - day) < Math.abs(best - day)) best = near;
  }
  const from = moment.day;
  if (Math.abs(best - from) < 1e-9 && Math.abs(day - from) > 1e-6) { /* a small step must not stay where it was */
    for (const run of RUNS) {
      const row = rowAt(run.time, timeOf(run, from)) + (day > from ? 1 : -1);
      if (row >= 0 && row < run.time.length) best = dayOf(run, run.time[row]);
    }
  }
  moment.day = best;
  tellAll("moment");
}
