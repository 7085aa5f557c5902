/* ledger.js: the books as pictures of flows: what came in on the left, where it went on the right. No library draws this
 * with labels that fit a phone. */
const SMALL = 0.005;

/* The two sides of a book, small rows summed up: {in: [[words, amount]], out: [...], total}. */
function sidesOf(book) {
  const total = book.rows.reduce((sum, row) => sum + (row.part !== "left" && row.amount > 0 ? row.amount : 0), 0);
  const sides = { in: [], out: [], total };
  let small = 0;
  for (const row of book.rows) {
    const coming = row.part !== "left" && row.amount > 0, amount = Math.abs(row.amount);
    if (amount < SMALL * total) { small += coming ? 0 : amount; continue; }
    if (row.part === "left" && row.amount < 0) continue; /* acid may outweigh lime: nothing is left */
    sides[coming ? "in" : "out"].push({ words: !coming && row.name === "water poured" ? "to the carbonate of poured water" : row.phrase, amount, left: row.part === "left" });
  }
  sides.out.sort((a, b) => a.left - b.left || b.amount - a.amount);
  if (small >= SMALL * total) sides.out.push({ words: "in small ways", amount: small, left: false });
  return sides;
}
function bookUnit(book) { return book.name === "water" ? "L" : book.unit; }
function describeBook(book, of) {
  const sides = sidesOf(book), unit = bookUnit(book);
  return `${say(sides.total, unit)} ${of} came in` +
    (sides.in.length > 1 ? ` (${sides.in.map((row) => `${share(row.amount / sides.total)} ${row.words}`).join(", ")})` : "") + ": " +
    sides.out.map((row) => `${share(row.amount / sides.total)} ${row.words}`).join(", ") + ".";
}
function flowPicture(book, name, width) {
  const sides = sidesOf(book), unit = bookUnit(book);
  const bar = 14, slot = 34, stem = 170;
  const sum = sides.out.reduce((all, row) => all + row.amount, 0) || 1;
  const tall = sides.out.map((row) => Math.max(1, stem * row.amount / sum)), slots = tall.map((one) => Math.max(slot, one + 8));
  const height = Math.max(stem, slots.reduce((all, one) => all + one, 0));
  const barLeft = 2, flowRight = Math.round(Math.min(width * (width < 420 ? 0.3 : 0.42), 220)), labels = flowRight + bar + 8;
  const svg = draw("svg", { width, height: height + 4, role: "img", "aria-label": name });
  let from = (height - stem) / 2, top = 0;
  const came = sides.in.reduce((all, row) => all + row.amount, 0) || 1;
  sides.in.forEach((row, i) => {
    const part = stem * row.amount / came;
    svg.append(draw("rect", { class: "flow-in", x: barLeft, y: from, width: bar, height: Math.max(1, part - (i < sides.in.length - 1 ? 1.5 : 0)) }));
    from += part;
  });
  from = (height - stem) / 2;
  sides.out.forEach((row, i) => {
    const to = top + (slots[i] - tall[i]) / 2, end = to + tall[i], middle = top + slots[i] / 2, bend = (barLeft + bar + flowRight) / 2;
    svg.append(draw("path", { class: "flow" + (row.left ? " left" : ""), d:
      `M${barLeft + bar} ${from}C${bend} ${from} ${bend} ${to} ${flowRight} ${to}V${end}` +
      `C${bend} ${end} ${bend} ${from + tall[i]} ${barLeft + bar} ${from + tall[i]}Z` }));
    svg.append(draw("rect", { class: "flow-out" + (row.left ? " left" : ""), x: flowRight, y: to, width: bar, height: tall[i] }));
    svg.append(draw("text", { class: "flow-share", x: labels, y: middle - 2 }, `${share(row.amount / sides.total)}  (${say(row.amount, unit)})`));
    svg.append(draw("text", { class: "flow-words", x: labels, y: middle + 13 }, row.words));
    from += stem * row.amount / sum;
    top += slots[i];
  });
  return svg;
}
function bookFigure(run, kind, name, of) {
  const book = run.ledger.find((one) => one.name === kind);
  if (!book || !(sidesOf(book).total > 0)) return null;
  const holder = make("div", { class: "flow-holder" });
  const paint = () => holder.replaceChildren(flowPicture(book, describeBook(book, of), Math.max(250, holder.clientWidth || 320)));
  on("width", paint);
  on("units", paint);
  return make("figure", { class: "book", "data-book": kind },
    RUNS.length > 1 ? make("h4", {}, runSign(run), " ", foreign(run.label)) : make("h3", {}, name), holder,
    make("figcaption", {}, live("p", {}, () => describeBook(book, of))));
}
function ledgerSection() {
  const books = RUNS.length === 1
    ? [make("div", { class: "books" }, LEDGERS.map(([kind, name, of]) => bookFigure(RUNS[0], kind, name, of)))]
    : LEDGERS.filter(([kind, , , compared]) => compared && RUNS.some((run) => run.ledger.some((one) => one.name === kind))).flatMap(([kind, name, of]) => [make("h3", {}, name),
      make("div", { class: "books" }, RUNS.map((run) => bookFigure(run, kind, name, of)))]);
  return section("ledger", "Where everything went",
    make("p", { class: "hint" }, "On the left what came in, on the right where it went; solid is gone or used, dotted is still there at the end."), ...books);
}
