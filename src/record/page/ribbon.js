/* ribbon.js: the vat's life as a long picture: liquor in its colour between bed and surface, film on it, diagnosis and
 * events below. No library draws this. */
const LIQUOR_HEIGHT = 120, STATE_HEIGHT = 26, EVENT_HEIGHT = 24, AXIS_HEIGHT = 22;

function highest(run, name) {
  let most = 0;
  for (const value of run.series[name] ? run.series[name].values : []) if (value !== null && value > most) most = value;
  return most;
}
function liquorColour(run, row) {
  const parts = ["liquor_red", "liquor_green", "liquor_blue"].map((name) => valueAt(run, name, row));
  return parts.includes(null) ? "#8a8f6a" : "rgb(" + parts.map(Math.round).join(",") + ")";
}
/* Stretches of one diagnosis: [from row, to row, word]. */
function stateStretches(run) {
  const stretches = [];
  for (let row = 0; row < run.time.length; row++) {
    const word = wordAt(run, "state", row);
    const last = stretches[stretches.length - 1];
    if (last && last[2] === word) last[1] = row; else stretches.push([row, row, word]);
    if (last && last[2] !== word) last[1] = row;
  }
  return stretches;
}
/* What a ribbon shows, in days: all of a run; of a workshop the hours around its day. */
function ribbonSpan(run) {
  const from = dayOf(run, run.time[0]), to = Math.max(dayOf(run, run.end), from + 0.01);
  return SHOP ? [Math.max(from, dayOf(SHOP, SHOP.opens) - 1 / 24), Math.min(to, dayOf(SHOP, SHOP.closes) + 1.5 / 24)] : [from, to];
}
function stateShares(run) {
  const shares = new Map();
  for (const [from, to, word] of stateStretches(run)) {
    shares.set(word, (shares.get(word) || 0) + (run.time[to] - run.time[from]) / Math.max(1, run.end - run.time[0]));
  }
  return [...shares].filter(([word]) => word).sort((a, b) => b[1] - a[1]);
}
function stateName(word) { return STATES[word] ? STATES[word][0] : spaced(word); }
function share(value) { return value > 0 && value < 0.005 ? "under 1\u00a0%" : Math.round(100 * value) + "\u00a0%"; }

/* What was done, as marks: [time, mark, words, source]. */
function eventMarks(run) {
  const { time, action, done, source, mass, water } = run.events;
  const marks = [];
  for (let i = 0; i < (time && action ? time.values.length : 0); i++) {
    const known = ACTIONS[wordOf(action, action.values[i])];
    if (!known || (done && done.values[i] === 0)) continue;
    marks.push({ time: time.values[i], mark: known[0], words: known[1],
      label: source && source.values[i] !== null ? run.labelNames[source.values[i]] || "" : "",
      mass: mass ? mass.values[i] : null, water: water ? water.values[i] : null });
  }
  return marks;
}
/* A mark of its own shape for each kind, so that none depends on colour. */
function markShape(kind, x, y) {
  const shapes = {
    dip: () => draw("path", { class: "mark solid", d: `M${x - 4} ${y - 5}h8l-4 10z` }),
    add: () => draw("circle", { class: "mark open", cx: x, cy: y, r: 4 }),
    stir: () => draw("path", { class: "mark line", d: `M${x - 4} ${y + 3}q2 -8 4 -3t4 -3` }),
    heat: () => draw("path", { class: "mark line", d: `M${x} ${y - 5}v10M${x - 3} ${y - 2}l3 -3l3 3` }),
  };
  return shapes[kind] ? shapes[kind]() : null;
}
/* Ticks of a stretch of days: [day, words]. */
function dayTicks(from, to, width) {
  const room = Math.max(2, Math.floor(width / 64));
  const steps = [1 / 24, 1 / 12, 1 / 8, 1 / 4, 1 / 2, 1, 2, 3, 7, 14, 28, 56, 112, 365];
  const step = steps.find((s) => (to - from) / s <= room) || Math.ceil((to - from) / room);
  const ticks = [];
  for (let k = Math.ceil(from / step - 1e-9); k * step <= to + 1e-9; k++) {
    const day = k * step, clock = Math.round((day - Math.floor(day + 1e-9)) * 24);
    ticks.push([day, clock > 0 ? String(clock).padStart(2, "0") + ":00" : "day " + (Math.floor(day + 1e-9) + 1)]);
  }
  return ticks;
}
function describeRibbon(run) {
  const shares = stateShares(run).filter(([, part]) => part >= 0.005);
  const last = run.time.length - 1;
  return `${run.label}. ` + capital(shares.map(([word, part]) => `${stateName(word)} ${share(part)} of the time`).join(", ")) + ". " +
    `The film covers ${share(valueAt(run, "film_cover", last) || 0)} of the surface at the end, at most ${share(highest(run, "film_cover"))}; ` +
    `the bed is at most ${say(highest(run, "bed_depth"), "cm")} deep.`;
}

function paintLiquor(svg, run, x, width) {
  const top = Math.max(highest(run, "level"), 1) * 1.04;
  const y = (height) => LIQUOR_HEIGHT * (1 - height / top);
  const stripes = Math.min(run.time.length, Math.max(60, Math.floor(width / 2)));
  const [from, to] = ribbonSpan(run);
  let bed = "";
  for (let i = 0; i < stripes; i++) {
    const day = from + (to - from) * (i + 0.5) / stripes;
    const row = rowAt(run.time, timeOf(run, day));
    const left = x(from + (to - from) * i / stripes), right = x(from + (to - from) * (i + 1) / stripes);
    const surface = y(valueAt(run, "level", row) || 0), floor = y(valueAt(run, "bed_depth", row) || 0);
    svg.append(draw("rect", { x: left.toFixed(1), y: surface.toFixed(1), width: (right - left + 0.4).toFixed(1),
      height: Math.max(0, LIQUOR_HEIGHT - surface).toFixed(1), fill: liquorColour(run, row) }));
    const film = 7 * (valueAt(run, "film_cover", row) || 0);
    if (film > 0.2) {
      svg.append(draw("rect", { class: "film", x: left.toFixed(1), y: surface.toFixed(1),
        width: (right - left + 0.4).toFixed(1), height: film.toFixed(1) }));
    }
    bed += `L${left.toFixed(1)} ${floor.toFixed(1)}L${right.toFixed(1)} ${floor.toFixed(1)}`;
  }
  const shape = `M${x(from).toFixed(1)} ${LIQUOR_HEIGHT}${bed}L${x(to).toFixed(1)} ${LIQUOR_HEIGHT}Z`;
  svg.append(draw("path", { class: "bed", d: shape }), draw("path", { class: "bed-hatch", d: shape }));
}
function paintStates(svg, run, x, y) {
  for (const [from, to, word] of stateStretches(run)) {
    const [first, last] = ribbonSpan(run);
    const left = x(clamp(dayOf(run, run.time[from]), first, last)), right = x(clamp(dayOf(run, run.time[to]), first, last));
    if (right - left < 0.3) continue;
    const kind = STATES[word] ? STATES[word][1] : "rest";
    svg.append(draw("rect", { class: "state " + kind, x: left, y, width: right - left, height: STATE_HEIGHT }));
    if (kind === "weary" || kind === "trouble") {
      svg.append(draw("rect", { class: "state-hatch", x: left, y, width: right - left, height: STATE_HEIGHT,
        fill: `url(#hatch-${kind})` }));
    }
    if (right - left > 9 * stateName(word).length + 14) {
      const middle = (left + right) / 2, room = 4.2 * stateName(word).length + 5;
      if (kind !== "ready") {
        svg.append(draw("rect", { class: "state-plate", x: middle - room, y: y + 4, width: 2 * room, height: STATE_HEIGHT - 8, rx: 3 }));
      }
      svg.append(draw("text", { class: "state-name " + kind, x: middle, y: y + 17.5, "text-anchor": "middle" }, stateName(word)));
    }
  }
}
function paintEvents(svg, run, x, y) {
  const lanes = { dip: -10, add: -10, stir: -10, heat: -10 };
  for (const event of eventMarks(run)) {
    const [from, to] = ribbonSpan(run), day = dayOf(run, event.time);
    if (day < from || day > to) continue;
    const at = Math.max(6, x(day));
    if (!(event.mark in lanes) || at - lanes[event.mark] < 9) continue;
    lanes[event.mark] = at;
    const row = { dip: 0, add: 1, stir: 2, heat: 3 }[event.mark];
    svg.append(markShape(event.mark, at, y + 8 + 13 * row));
  }
}
/* Patterns that the pictures share; one copy for the page. */
function hatches() {
  const pattern = (id, path) => draw("pattern", { id, width: 7, height: 7, patternUnits: "userSpaceOnUse" },
    draw("path", { class: "hatch", d: path }));
  return draw("svg", { class: "patterns", width: 0, height: 0, "aria-hidden": "true" }, draw("defs", {}, pattern("hatch-weary", "M-1 8L8 -1"), pattern("hatch-trouble", "M-1 8L8 -1M-1 -1L8 8"),
    draw("pattern", { id: "hatch-bed", width: 5, height: 5, patternUnits: "userSpaceOnUse" },
      draw("circle", { class: "grain", cx: 1.5, cy: 1.5, r: 0.8 }))));
}

/* The ribbon of a run in a box; tells `choose` the day that is pointed at. */
function ribbon(run, choose) {
  const box = make("figure", { class: "ribbon" });
  const holder = make("div", { class: "ribbon-holder" });
  const cursor = make("div", { class: "cursor", "aria-hidden": "true" });
  let x = (day) => day;
  const paint = () => {
    const width = Math.max(200, holder.clientWidth || 700);
    const [from, to] = ribbonSpan(run);
    x = (day) => 1 + (width - 2) * (day - from) / (to - from);
    const states = LIQUOR_HEIGHT + 8, events = states + STATE_HEIGHT + 6, axis = events + 4 * 13 + 8;
    const svg = draw("svg", { width, height: axis + AXIS_HEIGHT, role: "img", "aria-label": describeRibbon(run) });
    paintLiquor(svg, run, x, width);
    paintStates(svg, run, x, states);
    paintEvents(svg, run, x, events);
    svg.append(draw("path", { class: "axis", d: `M0 ${axis}H${width}` }));
    for (const [day, words] of dayTicks(from, to, width)) {
      const at = clamp(x(day), 0, width);
      svg.append(draw("path", { class: "axis", d: `M${at} ${axis}v4` }));
      svg.append(draw("text", { class: "tick", x: clamp(at, 18, width - 20), y: axis + 17, "text-anchor": "middle" }, words));
    }
    holder.replaceChildren(svg, cursor);
    move();
  };
  const move = () => {
    cursor.style.left = x(clamp(moment.day, ...ribbonSpan(run))) + "px";
  };
  holder.addEventListener("click", (event) => {
    const left = holder.getBoundingClientRect().left;
    const [from, to] = ribbonSpan(run);
    choose(clamp(from + (event.clientX - left - 1) / (holder.clientWidth - 2) * (to - from), from, to));
  });
  on("width", paint);
  on("moment", move);
  on("units", paint);
  if (RUNS.length > 1) box.append(make("p", { class: "run-name" }, runSign(run), " ", foreign(run.label)));
  box.append(holder, live("figcaption", {}, () => describeRibbon(run)));
  return { box, paint };
}
function ribbonLegend() {
  const sample = (inside) => draw("svg", { width: 18, height: 16, "aria-hidden": "true" }, inside);
  const block = (kind) => [draw("rect", { class: "state " + kind, x: 1, y: 2, width: 16, height: 12 }),
    kind === "weary" || kind === "trouble" ? draw("rect", { x: 1, y: 2, width: 16, height: 12, fill: `url(#hatch-${kind})` }) : null];
  const items = [
    [draw("rect", { class: "film", x: 1, y: 4, width: 16, height: 7 }), "bronze film, thicker where it covers more"],
    [[draw("rect", { class: "bed", x: 1, y: 3, width: 16, height: 11 }), draw("rect", { x: 1, y: 3, width: 16, height: 11, fill: "url(#hatch-bed)" })], "bed"],
    [block("ready"), "ready"], [block("rest"), "coming on or settling"], [block("weary"), "weary"], [block("trouble"), "in want of something"],
    ...Object.entries(MARKS).map(([kind, words]) => [markShape(kind, 9, 8), words]),
  ];
  return make("ul", { class: "legend" }, items.map(([inside, words]) => make("li", {}, sample(inside), words)));
}
