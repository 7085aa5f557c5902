/* page.js: puts the page together and listens to its switches. */
for (const run of RUNS) run.marks = eventMarks(run);

/* Lines of the summary: {label, margin, words}; the story of days stands between two empty lines. */
function storyOf(run) {
  const parts = [[], [], []];
  let at = 0;
  for (const line of run.story.split("\n")) {
    if (line === "") { at = Math.min(at + 1, 2); continue; }
    const [label, margin, ...words] = line.split("\t");
    const last = parts[at][parts[at].length - 1];
    if (at === 2 && label === "" && last) last.words.push(words.join(" "));
    else parts[at].push({ label, margin, words: [words.join(" ")] });
  }
  return { head: parts[0], days: parts[1], rest: parts[2] };
}
function sentence(text) {
  const words = sayText(text);
  return capital(words) + (/[.!?]$/.test(words) ? "" : ".");
}
function shortList(run, labels) {
  const lines = storyOf(run).rest.filter((line) => labels.includes(line.label));
  return make("dl", { class: "short" }, lines.map((line) => make("div", {}, make("dt", {}, line.label),
    line.words.map((words) => live("dd", { dir: "auto" }, () => sentence(words))))));
}
function nextWords(run) {
  const word = wordAt(run, "state", run.time.length - 1);
  return STATES[word] ? STATES[word][2].replace(/\[([^|\]]*)\|([^\]]*)\]/g, kitchen ? "$2" : "$1") : "";
}
function warningsOf(run) {
  const seen = new Map();
  for (const note of run.notes) {
    if (note.kind !== "warning") continue;
    const known = seen.get(note.text);
    if (known) { known.count++; known.last = note.time; } else seen.set(note.text, { count: 1, first: note.time, last: note.time });
  }
  const day = (time) => Math.floor(dayOf(run, time)) + 1;
  return [...seen].map(([text, { count, first, last }]) => ({ text, when: "day " + day(first) +
    (day(last) > day(first) ? " to " + day(last) : "") + (count > 1 ? `, ${count} times` : "") }));
}
function watchOf(run) {
  const warnings = warningsOf(run);
  const stopped = run.status !== "complete" ? make("p", { class: "stopped" }, `This run did not reach its end: ${run.status}. `, foreign(run.failure)) : null;
  return [RUNS.length > 1 ? make("h3", {}, runSign(run), " ", foreign(run.label)) : null, stopped,
    warnings.length ? make("ul", { class: "warnings" }, warnings.map(({ text, when }) => make("li", {},
      make("span", { class: "when" }, when + ": "), live("span", { dir: "auto" }, () => sentence(text)))))
      : make("p", {}, "Nothing to worry about was noted."),
    make("p", { class: "next" }, make("strong", {}, "What to do next: "), live("span", { class: "next-words" }, () => nextWords(run)))];
}
function careSection() {
  const care = new Set();
  for (const run of RUNS) {
    for (const line of storyOf(run).rest) if (line.label === "Care") for (const words of line.words) for (const part of words.split(/; (?!burners)/)) care.add(part);
  }
  for (const line of shopLines()) if (line.label === "Care") for (const words of line.words) for (const part of words.split("; ")) care.add(part);
  if (![...care].some((part) => part.startsWith("lime burns"))) care.add(CARE_LIME);
  care.add(CARE_ALWAYS);
  return section("care", "Care", make("ul", {}, [...care].map((part) => live("li", {}, () => sentence(part)))));
}
function subtitleOf(run) {
  const days = run.end / DAY;
  const start = new Date(run.start * 1000).toISOString().slice(0, 16).replace("T", " ");
  return `${say(valueAt(run, "volume", 0), "L")} of vat, ${days >= 1.95 ? Math.round(days) + " days" : Math.round(24 * days) + " hours"} from ${start}`;
}
function daysOf(run) {
  return make("ol", { class: "days" }, storyOf(run).days.map((line) => make("li", {}, make("span", { class: "when" }, line.label.replace(/\s+/g, " ")),
    live("span", { class: "what", dir: "auto" }, () => sentence(line.words[0])), make("span", { class: "margin" }, line.margin))));
}
function eventTable(run) {
  return scroller("Events" + (RUNS.length > 1 ? " of " + run.label + ", run " + (RUNS.indexOf(run) + 1) : ""), table("What was done and what happened", ["When", "What", "Name in the scenario", "Amount"],
    run.marks.map((event) => [sayDay(dayOf(run, event.time)), event.words, foreign(event.label),
      event.mass ? say(event.mass * 1000, "g") : event.water ? say(event.water, "L") : ""])));
}
function storySection() {
  return section("story", "Day by day", ...RUNS.flatMap((run) => {
    const inside = [run.story ? daysOf(run) : null, fold("All events as a table", () => eventTable(run)),
      run.scenario ? fold("The scenario as it was written", () => make("pre", { dir: "auto", tabindex: 0 }, run.scenario)) : null].filter(Boolean);
    return RUNS.length > 1 ? [make("details", {}, make("summary", {}, runSign(run), " ", foreign(run.label)), ...inside)] : inside;
  }));
}
function lifeSection() {
  const ribbons = RUNS.map((run) => ribbon(run, setMoment));
  const life = section("life", SHOP ? "The vats over the day" : "The vat's life", ribbonLegend(), ...ribbons.map((one) => one.box), momentSlider(),
    make("div", { class: "jars" }, RUNS.map(jar)));
  return { life, paint: () => ribbons.forEach((one) => one.paint()) };
}
function chartsSection() {
  const groups = CHART_GROUPS.map((group) => {
    const figures = group.charts.map(chartFigure).filter(Boolean);
    return figures.length ? make("div", { class: "group", id: "group-" + group.id }, make("h3", {}, group.name), make("div", { class: "figures" }, figures)) : null;
  });
  const marks = RUNS.length > 1 ? "" : " Wedges on the floor of a chart are dips, dotted lines are additions.";
  return section("charts", SHOP ? "How the vats went" : "How it went", make("p", { class: "hint" },
    "Point to read values; drag to look closer; double-click for the whole. With the keyboard: arrows, page keys, home and end move the moment, + and − look closer and wider, 0 shows the whole." + marks),
  zoomBar(), ...groups);
}
function footer() {
  const thinned = RUNS.some((run) => run.rows_kept < run.rows_recorded)
    ? " Long series are thinned for this page, their extremes kept; the result file holds every row." : "";
  const shown = SHOP ? " The day shown is the first of those drawn; others differ, as the words say." : "";
  return [make("p", {}, "Foretold by vatcast from a scenario: a calculation, not a measurement. Values are rounded to five digits." + thinned + shown),
    make("p", {}, "Charts drawn by dygraphs (MIT licence; its text stands in the source of this page).")];
}

function build() {
  const several = RUNS.length > 1 && !SHOP;
  document.getElementById("title").textContent = SHOP ? SHOP.title || SHOP.name : several ? RUNS.map((run) => run.name).join(", ") : RUNS[0].title || RUNS[0].name;
  const subtitle = document.getElementById("subtitle");
  const renew = () => { subtitle.textContent = SHOP ? shopSubtitle() : several ? `${RUNS.length} runs side by side` : subtitleOf(RUNS[0]); };
  renew();
  on("units", renew);
  const people = SHOP ? peopleSection() : null;
  const { life, paint } = lifeSection();
  const main = document.getElementById("main");
  const runs = several ? section("runs", "The runs", make("ul", { class: "run-list" }, RUNS.map((run) => make("li", {}, runSign(run), " ",
    make("strong", {}, foreign(run.name)), ": ", foreign(run.title || run.name), "; ", live("span", {}, () => subtitleOf(run))))))
    : section("short", "In short", SHOP ? shopList((label) => ["Plan", "Waiting", "Pieces", "Shade", "Limit", "In use"].includes(label))
      : shortList(RUNS[0], ["Dyed", "Pigment", "Vat"]));
  const vats = SHOP ? shopList((label) => label.startsWith("Vat ")) : null;
  const parts = [runs, SHOP ? plansSection() : several ? verdictSection() : null, section("watch", "What to watch, what to do next", ...[vats].filter(Boolean), ...RUNS.flatMap(watchOf)),
    people, life, chartsSection(), ledgerSection(), piecesSection(), storySection(), careSection()];
  main.append(...parts.filter(Boolean));
  document.getElementById("footer").append(...footer());
  document.body.append(hatches());
  moment.day = SHOP ? dayOf(SHOP, (SHOP.opens + SHOP.closes) / 2) : WHOLE[0] + (WHOLE[1] - WHOLE[0]) / 2;
  paint();
  paintCharts();
  tellAll("width");
  setMoment(moment.day);
  if (SHOP) setZoom(ribbonSpan(RUNS[0]));
}

function listen() {
  document.getElementById("units").addEventListener("change", (event) => {
    kitchen = event.target.value === "kitchen";
    tellAll("units");
    tellAll("moment");
  });
  document.getElementById("theme").addEventListener("change", (event) => {
    const theme = event.target.value;
    if (theme === "auto") delete document.documentElement.dataset.theme; else document.documentElement.dataset.theme = theme;
    tellAll("light");
  });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => tellAll("light"));
  let width = document.documentElement.clientWidth, waiting = 0;
  window.addEventListener("resize", () => {
    if (document.documentElement.clientWidth === width) return;
    width = document.documentElement.clientWidth;
    clearTimeout(waiting);
    waiting = setTimeout(() => tellAll("width"), 80);
  });
  /* On paper all is light and as wide as a page of A4 or Letter between its margins. */
  const paper = (printing) => {
    document.documentElement.classList.toggle("paper", printing);
    tellAll("light");
    tellAll("width");
    chartsToPaper(printing);
  };
  window.addEventListener("beforeprint", () => paper(true));
  window.addEventListener("afterprint", () => paper(false));
}

build();
listen();
document.documentElement.dataset.ready = "yes";
