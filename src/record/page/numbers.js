/* numbers.js: the data, units as metric or kitchen measure, numbers and times as words. */
const DATA = JSON.parse(document.getElementById("data").textContent);
const RUNS = DATA.runs;
const SHOP = DATA.workshop || null; /* the day of a workshop, whose vats are the runs */
const DAY = 86400;
let kitchen = false;

/* unit of the file: [as written, kitchen unit, factor, offset] */
const UNITS = {
  "degC": ["°C", "°F", 1.8, 32], "L": ["L", "gal", 1 / 3.785411784, 0], "cm": ["cm", "in", 1 / 2.54, 0],
  "g": ["g", "oz", 1 / 28.349523125, 0], "kg": ["kg", "lb", 1 / 0.45359237, 0],
  "g L-1": ["g/L", "oz/gal", 3.785411784 / 28.349523125, 0], "mg L-1": ["mg/L", null], "mmol L-1": ["mmol/L", null],
  "mV": ["mV", null], "1": ["", null], "%": ["%", null], "g kg-1": ["g/kg", null], "s": ["s", null],
};
function unitName(unit) {
  const known = UNITS[unit];
  return !known ? unit : kitchen && known[1] ? known[1] : known[0];
}
function inUnit(value, unit) {
  const known = UNITS[unit];
  return value === null || !known || !kitchen || !known[1] ? value : value * known[2] + known[3];
}
/* A number as one would say it: three or so digits that count. */
function plain(value) {
  if (value === null || value === undefined || Number.isNaN(value)) return "not known";
  const size = Math.abs(value);
  const digits = size >= 99.95 ? 0 : size >= 9.995 ? 1 : size >= 0.0995 ? 2 : size >= 0.00995 ? 3 : size === 0 ? 0 : 4;
  const text = Number(value.toFixed(digits)) === 0 ? "0" : value.toFixed(digits);
  const sign = text.startsWith("-") && Number(text) !== 0 ? "−" : "";
  const [whole, part] = text.replace("-", "").split(".");
  return sign + whole.replace(/\B(?=(\d{3})+$)/g, ",") + (part ? "." + part : "");
}
function say(value, unit) {
  const name = unitName(unit);
  return plain(inUnit(value, unit)) + (name && value !== null ? "\u00a0" + name : "");
}
/* Metric amounts in a sentence of the summary, turned into kitchen measure when that is wanted. */
function sayText(text) {
  if (!kitchen) return text;
  const number = "(\\d[\\d,]*(?:\\.\\d+)?)";
  return text.replace(new RegExp(number + "(?: to " + number + ")? (L|mL|g|kg|C)(?![\\w/-])", "g"),
    (all, one, other, unit) => {
      const kind = { L: "L", mL: "L", g: "g", kg: "kg", C: "degC" }[unit];
      const turn = (t) => {
        const value = inUnit(Number(t.replace(/,/g, "")) * (unit === "mL" ? 0.001 : 1), kind);
        return unit === "C" ? value.toFixed(0) : value >= 99.5 ? plain(Math.round(value)) : String(Number(value.toPrecision(2)));
      };
      return turn(one) + (other ? " to " + turn(other) : "") + " " + (unit === "C" ? "F" : unitName(kind));
    });
}

/* ---- a run's columns and moments ---- */
for (const run of RUNS) {
  run.time = run.series.time.values;
  run.end = run.time[run.time.length - 1];
  run.midnight = ((run.start % DAY) + DAY) % DAY;
  run.label = RUNS.length > 1 ? run.name : run.title || run.name;
  run.kindNames = run.kinds.split("\n");
  run.labelNames = run.labels.split("\n");
}
if (SHOP) {
  Object.assign(SHOP, { time: SHOP.series.time.values, midnight: RUNS[0].midnight, label: "", kindNames: RUNS[0].kindNames });
  SHOP.end = SHOP.time[SHOP.time.length - 1];
}
/* Days since the midnight before the start: day 1 09:00 is 0.375. */
function dayOf(run, time) { return (time + run.midnight) / DAY; }
function timeOf(run, day) { return day * DAY - run.midnight; }
function sayDay(day) {
  const minutes = Math.round(day * 1440);
  const clock = ((minutes % 1440) + 1440) % 1440;
  return "day " + (Math.floor(minutes / 1440) + 1) + ", " + String(Math.floor(clock / 60)).padStart(2, "0") + ":" +
    String(clock % 60).padStart(2, "0");
}
/* The row whose time is nearest. */
function rowAt(times, time) {
  let low = 0, high = times.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle] < time) low = middle + 1; else high = middle;
  }
  return low > 0 && time - times[low - 1] < times[low] - time ? low - 1 : low;
}
function valueAt(run, name, row) { const column = run.series[name]; return column ? column.values[row] : null; }
function wordOf(column, value) {
  return column && column.flags && value !== null && value >= 0 ? column.flags.split(" ")[value] || "" : "";
}
function wordAt(run, name, row) { return wordOf(run.series[name], valueAt(run, name, row)); }
function spaced(word) { return word.replace(/_/g, " "); }
function capital(text) { return text.charAt(0).toUpperCase() + text.slice(1); }
function clamp(value, low, high) { return Math.min(high, Math.max(low, value)); }
