/* verdict.js: how several runs compare: what the program says of them, and a table from their pieces and ledgers. */
function measureRun(run) {
  const pieces = pieceList(run).filter((piece) => piece.dips > 0);
  const mass = pieces.reduce((sum, piece) => sum + piece.mass, 0);
  const mean = mass > 0 ? pieces.reduce((sum, piece) => sum + piece.mass * piece.owf, 0) / mass : null;
  const main = Math.max(0, ...pieces.map((piece) => piece.dips));
  const alike = pieces.filter((piece) => piece.dips === main).map((piece) => piece.owf);
  const book = (kind) => run.ledger.find((one) => one.name === kind);
  const came = (kind) => (book(kind) ? sidesOf(book(kind)).total : null);
  const part = (kind, ...names) => (book(kind) && came(kind) > 0
    ? book(kind).rows.filter((row) => names.includes(row.name)).reduce((sum, row) => sum + Math.abs(row.amount), 0) / came(kind) : null);
  const ready = stateShares(run).find(([word]) => word === "ready");
  const first = run.time.findIndex((_, row) => wordAt(run, "state", row) === "ready");
  const put = book("indigo") ? book("indigo").rows.filter((row) => ["initial", "added"].includes(row.name))
    .reduce((sum, row) => sum + row.amount, 0) : 0;
  return {
    dyed: pieces.length, mass, mean, low: alike.length ? Math.min(...alike) : null, high: alike.length ? Math.max(...alike) : null,
    spread: alike.length > 1 ? (Math.max(...alike) - Math.min(...alike)) / (alike.reduce((a, b) => a + b) / alike.length) : null,
    onCloth: put > 0 && mean !== null ? mass * mean * 10 / put : null, indigo: came("indigo"), destroyed: part("indigo", "destroyed"),
    sugar: came("hexose") ?? came("feed"), broke: part("hexose", "broke down") ?? part("feed", "broke down"), lime: came("lime") ?? came("alkali"), ready: ready ? ready[1] : 0,
    first: first >= 0 ? run.time[first] / 3600 : null,
    warnings: new Set(run.notes.filter((note) => note.kind === "warning").map((note) => note.text)).size,
  };
}
/* How many runs are of live vats, which have feed and alkali in place of sugar and lime: none, some or all. */
const LIVE = RUNS.filter((run) => run.ledger.some((one) => one.name === "feed")).length;
const feedWord = (plain, live) => (LIVE === 0 ? plain : LIVE === RUNS.length ? live : `${plain} or ${live.toLowerCase()}`);
/* What is fed and what alkali is given can be better or worse only in vats of one kind. */
const ofOneKind = (get) => (LIVE === 0 || LIVE === RUNS.length ? get : undefined);
/* Rows of the table: name, words of a value, the value that can be best, +1 for more or -1 for less. */
const MEASURES = [
  ["Pieces dyed", (m) => `${m.dyed}, ${say(m.mass, "kg")}`],
  ["Blue after washing, mean", (m) => (m.mean === null ? "none" : m.mean.toFixed(2) + " % owf"), (m) => m.mean, 1],
  ["Palest to deepest of the pieces dipped most", (m) => (m.low === null ? "none" : `${m.low.toFixed(2)} to ${m.high.toFixed(2)} % owf`)],
  ["Unevenness among them", (m) => (m.spread === null ? "none" : share(m.spread)), (m) => m.spread, -1],
  ["Indigo put in that is on washed cloth", (m) => (m.onCloth === null ? "none" : share(m.onCloth)), (m) => m.onCloth, 1],
  ["Indigo in", (m) => (m.indigo === null ? "none" : say(m.indigo, "g"))],
  ["Indigo destroyed", (m) => (m.destroyed === null ? "none" : share(m.destroyed)), (m) => m.destroyed, -1],
  [feedWord("Sugar", "Feed") + " in", (m) => (m.sugar === null ? "none" : say(m.sugar, "g")), ofOneKind((m) => m.sugar), -1],
  [feedWord("Sugar", "Feed") + " that broke down unused", (m) => (m.broke === null ? "none" : share(m.broke)), ofOneKind((m) => m.broke), -1],
  [feedWord("Lime", "Alkali") + " in", (m) => (m.lime === null ? "none" : say(m.lime, "g")), ofOneKind((m) => m.lime), -1],
  ["Ready", (m) => share(m.ready) + " of the time", (m) => m.ready, 1],
  ["First ready after", (m) => (m.first === null ? "never" : plain(m.first) + " h"), (m) => m.first, -1],
  ["Kinds of warnings", (m) => String(m.warnings), (m) => m.warnings, -1],
];
const WORTH_NAMING = 0.02; /* smaller differences are no verdict */

/* The runs that are best by a measure or next to it; none when all are. */
function bestOf(measures, get, direction) {
  const values = get ? measures.map(get) : [null];
  if (values.includes(null)) return [];
  const best = Math.max(...values.map((value) => value * direction)) * direction;
  const near = values.map((value, i) => [Math.abs(value - best), i])
    .filter(([gap]) => gap <= WORTH_NAMING * Math.max(Math.abs(best), ...values.map(Math.abs))).map(([, i]) => i);
  return near.length === values.length ? [] : near;
}
/* Lines of the verdict, `label TAB words`, each a list item; a line without a label belongs to the one before. */
function verdictLines() {
  return DATA.verdict.split("\n").filter((line) => line !== "").map((line) => {
    const [label, words] = line.split("\t");
    return make("li", {}, label ? make("strong", {}, label + ": ") : "", foreign(words || ""));
  });
}
function verdictSection() {
  const measures = RUNS.map(measureRun);
  const box = make("div", {});
  const renew = () => {
    const rows = MEASURES.map(([name, words, get, direction]) => {
      const best = bestOf(measures, get, direction);
      return [name, ...measures.map((m, i) => (best.includes(i) ? make("strong", {}, words(m), " ◂") : words(m)))];
    });
    box.replaceChildren(make("ul", { class: "verdict" }, verdictLines()), scroller("How the runs compare",
      table("How the runs compare; ◂ marks the best of a row, where they differ", ["Measure", ...RUNS.map((run) => make("span", {}, runSign(run), " ", foreign(run.label)))], rows)));
  };
  renew();
  on("units", renew);
  const cloth = new Set(measures.map((m) => m.mass.toFixed(3))).size > 1
    ? make("p", { class: "hint" }, "The runs did not dye the same cloth, so mind what is compared.") : null;
  return section("verdict", "The verdict", cloth, box);
}
