/* charts.js: series over time, drawn by dygraphs; one cursor and one zoom for all charts, read-outs and words beside them. */
const charts = [];
const DASHES = [null, [7, 3], [2, 3], [10, 3, 2, 3], [1, 2, 6, 2], [12, 4], [4, 2], [8, 2, 2, 2, 2, 2]];

/* The sign of a run or a line: a short piece of its stroke, which differs by dashes as well as by colour. */
function strokeSign(index) {
  const dash = DASHES[index % DASHES.length];
  return draw("svg", { width: 26, height: 10, class: "sign", "aria-hidden": "true" }, draw("path", { d: "M1 5H25",
    class: "stroke", style: `stroke: var(--line-${index % 8})`, "stroke-dasharray": dash ? dash.join(" ") : null }));
}
function runSign(run) { return strokeSign(RUNS.indexOf(run)); }

/* One row of days for all charts and runs. */
const allDays = (() => {
  const days = new Set();
  for (const run of SHOP ? [...RUNS, SHOP] : RUNS) for (const time of run.time) days.add(dayOf(run, time));
  return Float64Array.from(days).sort();
})();
const WHOLE = [allDays[0], allDays[allDays.length - 1]];
let zoomed = WHOLE;

/* The series of a chart that any run has. */
function seriesThere(chart) { return chart.series.filter(([name]) => RUNS.some((run) => run.series[name])); }
/* The lines of a chart: every series of one run, or one series, number `shown`, of every run. */
function linesOf(chart, shown) {
  if (chart.shop) return chart.series.filter(([name]) => SHOP.series[name]).map(([name, words]) => ({ run: SHOP, name, words }));
  const there = seriesThere(chart);
  if (RUNS.length > 1) return there.slice(shown, shown + 1).flatMap(([name]) => RUNS.map((run) => ({ run, name, words: run.label })));
  return there.map(([name, words]) => ({ run: RUNS[0], name, words }));
}
function unitOf(line, chart) { return chart.percent ? "%" : line.run.series[line.name] ? line.run.series[line.name].unit : "1"; }
function lineValue(line, chart, row) {
  const value = valueAt(line.run, line.name, row);
  return value === null ? null : inUnit(chart.percent ? 100 * value : value, unitOf(line, chart));
}
function sayLine(line, chart, row) {
  const value = valueAt(line.run, line.name, row);
  if (chart.shop) return value === null ? "not known" : sayCount(value);
  return value === null ? "not known" : say(chart.percent ? 100 * value : value, unitOf(line, chart));
}
/* The band of a line at a row, where the run has members: [low, high] as numbers, or null. */
function bandOf(line, row) {
  const series = line.run.series[line.name];
  if (!series || !series.low || !series.high || series.low[row] === null || series.high[row] === null) return null;
  return [series.low[row], series.high[row]];
}
function hasBand(line) { const series = line.run.series[line.name]; return Boolean(series && series.low && series.high); }
/* "10.9 to 11.6", the unit once. */
function sayBand(line, chart, row) {
  const band = bandOf(line, row);
  if (!band) return "";
  const [low, high] = band.map((value) => say(chart.percent ? 100 * value : value, unitOf(line, chart)));
  return low === high ? "" : withoutUnit(low) + " to " + high; /* all alike: nothing to tell */
}
function withoutUnit(text) { return text.replace(/^([\u2212\d.,]+).*$/, "$1"); }
function sayWithBand(line, chart, row) {
  const band = sayBand(line, chart, row);
  return sayLine(line, chart, row) + (band === "" ? "" : ` (${band})`);
}
/* For a chart with bands dygraphs wants low, middle and high of every line. */
function bandedValue(line, chart, row) {
  const value = lineValue(line, chart, row);
  if (value === null) return [null, null, null];
  const band = bandOf(line, row);
  const [low, high] = band ? band.map((bound) => inUnit(chart.percent ? 100 * bound : bound, unitOf(line, chart))) : [value, value];
  return [Math.min(low, value), value, Math.max(high, value)];
}
function chartRows(lines, chart) {
  const banded = lines.some(hasBand);
  const rows = Array.from(allDays, (day) => [day, ...lines.map(() => (banded ? [null, null, null] : null))]);
  const index = new Map(Array.from(allDays, (day, i) => [day, i]));
  lines.forEach((line, k) => {
    line.run.time.forEach((time, row) => { rows[index.get(dayOf(line.run, time))][k + 1] = (banded ? bandedValue : lineValue)(line, chart, row); });
  });
  return rows;
}
/* The course of a line in a sentence: the text alternative of its curve. */
function describeLine(line, chart) {
  if (chart.shop) return describeCount(line);
  let low = -1, high = -1;
  const values = line.run.series[line.name] ? line.run.series[line.name].values : [];
  values.forEach((value, row) => {
    if (value === null) return;
    if (low < 0 || value < values[low]) low = row;
    if (high < 0 || value > values[high]) high = row;
  });
  if (low < 0) return line.words + " is not known.";
  const at = (row) => "day " + (Math.floor(dayOf(line.run, line.run.time[row])) + 1);
  const end = hasBand(line) ? sayBand(line, chart, values.length - 1) : "";
  const band = end === "" ? "" : ` Of ${line.run.members} vats that this one may be, nine in ten end at ${end}` +
    (widest(line) >= 0 ? ` and lie farthest apart on ${at(widest(line))}, at ${sayBand(line, chart, widest(line))}.` : ".");
  return `${line.words} begins at ${sayLine(line, chart, 0)}, lowest ${sayLine(line, chart, low)} on ${at(low)}, ` +
    `highest ${sayLine(line, chart, high)} on ${at(high)}, ends at ${sayLine(line, chart, values.length - 1)}.` + band;
}
/* The row where a band is widest; -1: none. */
function widest(line) {
  let found = -1, most = 0;
  const series = line.run.series[line.name];
  series.values.forEach((value, row) => {
    const band = bandOf(line, row);
    if (band && band[1] - band[0] > most) { most = band[1] - band[0]; found = row; }
  });
  return found;
}
function chartTitle(chart, lines) {
  const unit = unitName(unitOf(lines[0], chart));
  return chart.title + (unit ? " (" + unit + ")" : "");
}
function dailyTable(chart, lines) {
  const rows = [];
  const row = (words, time) => [words, ...lines.map((line) => sayLine(line, chart, rowAt(line.run.time, time)))];
  const heads = lines.map((line) => foreign(line.words));
  if (SHOP) {
    return scroller(chart.title + ", values", table(chart.title + " at every half hour", ["Time", ...heads],
      halfHours().map((time) => row(clockOf(time), time))));
  }
  for (let day = Math.ceil(WHOLE[0] - 0.5); day + 0.5 <= WHOLE[1]; day++) {
    rows.push(["day " + (day + 1), ...lines.map((line) => sayWithBand(line, chart, rowAt(line.run.time, timeOf(line.run, day + 0.5))))]);
  }
  return scroller(chart.title + ", values", table(chart.title + " at noon of each day", ["Day", ...lines.map((line) => foreign(line.words))], rows));
}

/* Dips as wedges on the floor of the chart, additions as dashed lines. */
function paintUnderlay(context, area, graph) {
  const last = { dip: -99, add: -99 };
  context.save();
  context.strokeStyle = colour("--mark");
  context.fillStyle = colour("--mark");
  for (const event of RUNS.length > 1 ? [] : RUNS[0].marks) {
    if (event.mark !== "dip" && event.mark !== "add") continue;
    const x = graph.toDomXCoord(dayOf(RUNS[0], event.time));
    if (x < area.x || x > area.x + area.w || x - last[event.mark] < 5) continue;
    last[event.mark] = x;
    context.beginPath();
    if (event.mark === "dip") {
      context.moveTo(x - 3.5, area.y + area.h - 8);
      context.lineTo(x + 3.5, area.y + area.h - 8);
      context.lineTo(x, area.y + area.h - 1);
      context.fill();
    } else {
      context.globalAlpha = 0.35;
      context.setLineDash([1, 4]);
      context.moveTo(x, area.y);
      context.lineTo(x, area.y + area.h);
      context.stroke();
      context.globalAlpha = 1;
    }
  }
  context.restore();
}
/* Dragging zooms along the days only; touches stay with the page, so that it scrolls. */
const HANDS = (() => {
  const level = (event, context) => ({ pageX: event.pageX, pageY: context.levelY, offsetX: event.offsetX,
    target: event.target, type: event.type, preventDefault() {} });
  return {
    mousedown(event, graph, context) {
      if (event.button !== 0) return;
      context.levelY = event.pageY;
      context.initializeMouseDown(event, graph, context);
      Dygraph.startZoom(event, graph, context);
      const move = (e) => { if (context.isZooming) Dygraph.moveZoom(level(e, context), graph, context); };
      const up = (e) => {
        document.removeEventListener("mousemove", move);
        document.removeEventListener("mouseup", up);
        if (context.isZooming) Dygraph.endZoom(level(e, context), graph, context);
        context.destroy();
      };
      document.addEventListener("mousemove", move);
      document.addEventListener("mouseup", up);
    },
    dblclick() { setZoom(WHOLE); },
    willDestroyContextMyself: true,
  };
})();
function setZoom(span) {
  const least = 1 / 24;
  let [from, to] = span;
  if (to - from < least) { const middle = (from + to) / 2; from = middle - least / 2; to = middle + least / 2; }
  zoomed = [Math.max(WHOLE[0], from), Math.min(WHOLE[1], to)];
  for (const chart of charts) if (chart.graph) chart.graph.updateOptions({ dateWindow: zoomed });
  const whole = zoomed[0] <= WHOLE[0] && zoomed[1] >= WHOLE[1];
  const words = document.getElementById("zoom-words");
  words.textContent = whole ? "The whole time is shown." : `Shown: ${sayDay(zoomed[0])} to ${sayDay(zoomed[1])}.`;
  document.getElementById("zoom-whole").disabled = whole;
  moveCursors();
}
function zoomBy(factor) {
  const half = (zoomed[1] - zoomed[0]) * factor / 2;
  const middle = clamp(moment.day, zoomed[0], zoomed[1]);
  setZoom([middle - half, middle + half]);
}
function chartKeys(event) {
  const step = (zoomed[1] - zoomed[0]) / 100;
  const acts = {
    ArrowLeft: () => setMoment(moment.day - step), ArrowRight: () => setMoment(moment.day + step),
    PageUp: () => setMoment(moment.day + 1), PageDown: () => setMoment(moment.day - 1),
    Home: () => setMoment(WHOLE[0]), End: () => setMoment(WHOLE[1]),
    "+": () => zoomBy(0.5), "=": () => zoomBy(0.5), "-": () => zoomBy(2), "0": () => setZoom(WHOLE), Escape: () => setZoom(WHOLE),
  };
  if (acts[event.key] && !event.ctrlKey && !event.metaKey && !event.altKey) {
    event.preventDefault();
    acts[event.key]();
  }
}
function moveCursors() {
  for (const chart of charts) {
    if (!chart.graph) continue;
    const at = chart.graph.toDomXCoord(moment.day);
    const area = chart.graph.getArea();
    chart.cursor.style.left = at + "px";
    chart.cursor.style.top = area.y + "px";
    chart.cursor.style.height = area.h + "px";
    chart.cursor.hidden = at < area.x - 1 || at > area.x + area.w + 1;
  }
}
function renewReadouts() {
  for (const chart of charts) {
    chart.lines.forEach((line, k) => {
      const row = rowAt(line.run.time, clamp(timeOf(line.run, moment.day), line.run.time[0], line.run.end));
      chart.outputs[k].textContent = sayWithBand(line, chart.about, row);
    });
    chart.holder.setAttribute("aria-valuenow", moment.day.toFixed(3));
    chart.holder.setAttribute("aria-valuetext", sayDay(moment.day) + ": " +
      chart.lines.map((line, k) => `${line.words} ${chart.outputs[k].textContent}`).join(", "));
  }
  moveCursors();
}
function chartColours(lines) {
  return { colors: lines.map((line, k) => colour("--line-" + (k % 8))), gridLineColor: colour("--line"), axisLineColor: colour("--soft") };
}
function chartOptions(chart, lines) {
  return {
    ...chartColours(lines), labels: ["day", ...lines.map((line, k) => "line " + k)], legend: "never", connectSeparatedPoints: true,
    customBars: lines.some(hasBand), fillAlpha: 0.22,
    series: Object.fromEntries(lines.map((line, k) => ["line " + k, { strokePattern: DASHES[k % DASHES.length] }])),
    strokeWidth: 1.7, includeZero: chart.zero === true, xRangePad: 2, yRangePad: 6, highlightCircleSize: 0, interactionModel: HANDS,
    animatedZooms: false, underlayCallback: paintUnderlay, dateWindow: zoomed, rightGap: 8,
    axes: { x: { ticker: (from, to, pixels) => dayTicks(from, to, pixels).map(([v, label]) => ({ v, label })), axisLabelWidth: 56 },
      y: { axisLabelWidth: 48, axisLabelFormatter: (value) => plainTick(value), pixelsPerLabel: 28 } },
    highlightCallback: (event, day) => setMoment(day),
    zoomCallback: (from, to) => setZoom([from, to]),
  };
}
function plainTick(value) { return String(Number(value.toPrecision(6))).replace("-", "−"); }

/* Of several runs, which series of a chart is shown. */
function seriesChooser(chart, name) {
  const there = RUNS.length > 1 && !chart.about.shop ? seriesThere(chart.about) : [];
  if (there.length < 2) return null;
  const select = make("select", { id: name + "-series" }, there.map(([, words], k) => make("option", { value: k }, words)));
  select.addEventListener("change", () => {
    chart.lines = linesOf(chart.about, Number(select.value));
    chart.lines.forEach((line, k) => chart.outputs[k].setAttribute("data-series", line.name));
    chart.graph.updateOptions({ customBars: chart.lines.some(hasBand), file: chartRows(chart.lines, chart.about) });
    chart.renew();
    renewReadouts();
  });
  return make("label", { class: "chooser" }, "Shown ", select);
}
function chartFigure(about) {
  const lines = linesOf(about, 0);
  if (lines.length === 0) return null;
  const name = "chart-" + about.id;
  const chart = { about, lines, outputs: lines.map((line) => make("output", { "data-series": line.name, "data-run": RUNS.indexOf(line.run) })) };
  chart.canvas = make("div", { class: "canvas" });
  chart.cursor = make("div", { class: "cursor", "aria-hidden": "true" });
  chart.holder = make("div", { class: "chart", id: name, tabindex: 0, role: "slider", "aria-labelledby": name + "-name",
    "aria-describedby": name + "-words", "aria-valuemin": WHOLE[0].toFixed(3), "aria-valuemax": WHOLE[1].toFixed(3), "aria-valuenow": "0" },
    chart.canvas, chart.cursor);
  chart.holder.addEventListener("keydown", chartKeys);
  charts.push(chart);
  const title = live("h4", { id: name + "-name" }, () => chartTitle(about, chart.lines));
  const words = live("p", { id: name + "-words" }, () => chart.lines.map((line) => (RUNS.length > 1 && !about.shop ?
    describeLine(line, about) : capital(describeLine(line, about)))).join(" "));
  const values = fold("Values as a table", () => dailyTable(about, chart.lines));
  chart.renew = () => { title.renew(); words.renew(); values.renew(); };
  return make("figure", { class: "chart-figure" }, title, seriesChooser(chart, name),
    make("ul", { class: "readouts" }, lines.map((line, k) => make("li", {}, strokeSign(k), " ", foreign(line.words), " ", chart.outputs[k]))),
    chart.holder, make("figcaption", {}, words, values));
}
/* For paper: each graph drawn finely and kept as an image, since a browser may print before a canvas is drawn again. */
function chartsToPaper(printing) {
  for (const chart of charts) {
    for (const old of chart.canvas.querySelectorAll("img")) old.remove();
    chart.graph.updateOptions({ pixelRatio: printing ? 3 : null });
    chart.graph.resize(chart.canvas.clientWidth + 1, chart.canvas.clientHeight); /* only a new size takes the ratio */
    chart.graph.resize();
    for (const canvas of printing ? [...chart.canvas.querySelectorAll("canvas")] : []) {
      const image = make("img", { class: "print", alt: "", src: canvas.toDataURL() });
      image.style.cssText = "position:absolute;left:0;top:0;width:" + canvas.style.width + ";height:" + canvas.style.height;
      canvas.after(image);
    }
  }
}
/* The graphs themselves, once the page has its widths. */
function paintCharts() {
  for (const chart of charts) {
    chart.graph = new Dygraph(chart.canvas, chartRows(chart.lines, chart.about), chartOptions(chart.about, chart.lines));
    for (const canvas of chart.canvas.querySelectorAll("canvas")) canvas.setAttribute("aria-hidden", "true");
  }
  on("units", () => {
    for (const chart of charts) chart.graph.updateOptions({ file: chartRows(chart.lines, chart.about) });
    renewReadouts();
  });
  on("light", () => {
    for (const chart of charts) chart.graph.updateOptions(chartColours(chart.lines));
  });
  on("width", () => {
    for (const chart of charts) chart.graph.resize();
    moveCursors();
  });
  on("moment", renewReadouts);
  renewReadouts();
}
function zoomBar() {
  const button = (id, words, act) => {
    const made = make("button", { type: "button", id }, words);
    made.addEventListener("click", act);
    return made;
  };
  return make("div", { class: "bar", role: "group", "aria-label": "Zoom of all charts" },
    button("zoom-in", "Closer", () => zoomBy(0.5)), button("zoom-out", "Wider", () => zoomBy(2)),
    button("zoom-whole", "Whole time", () => setZoom(WHOLE)), make("span", { id: "zoom-words", role: "status" }, "The whole time is shown."));
}
