/* pieces.js: every piece of cloth as a swatch with its dips. */
function pieceList(run) {
  const columns = run.pieces;
  const get = (name, i) => (columns[name] ? columns[name].values[i] : null);
  const rows = columns.kind ? columns.kind.values.length : 0;
  return Array.from({ length: rows }, (_, i) => ({
    kind: get("kind", i), number: get("number", i), dips: get("dips", i), mass: get("mass", i), owf: get("owf_washed", i),
    shade: spaced(wordOf(columns.shade, get("shade", i))), specked: get("specked", i) > 0, lightness: get("lightness", i),
    name: run.kindNames[get("kind", i)] || "piece", person: get("person", i), vat: get("vat", i), done: get("done", i), waited: get("waited", i),
    colour: get("red", i) === null ? null : `rgb(${["red", "green", "blue"].map((name) => Math.round(get(name, i))).join(",")})`,
  }));
}
/* Rows of /dips that this piece was in. */
function dipsOf(run, piece) {
  const dips = run.dips, rows = [];
  for (let i = 0; i < (dips.kind ? dips.kind.values.length : 0); i++) {
    const first = dips.first_piece.values[i];
    if (dips.kind.values[i] === piece.kind && piece.number >= first && piece.number < first + dips.pieces.values[i]) rows.push(i);
  }
  return rows;
}
/* One bar a dip, as tall as what it took up. */
function dipBars(run, rows, most) {
  const wide = clamp(Math.floor(96 / Math.max(1, rows.length)), 2, 12);
  const svg = draw("svg", { width: wide * rows.length + 1, height: 26, class: "dip-bars", "aria-hidden": "true" });
  rows.forEach((row, k) => {
    const tall = Math.max(1, 24 * clamp((run.dips.sorbed.values[row] || 0) / most, 0, 1));
    svg.append(draw("rect", { x: k * wide, y: 25 - tall, width: Math.max(1, wide - 1), height: tall }));
  });
  return svg;
}
function dipTable(run, piece, rows) {
  const dips = run.dips;
  const heads = ["Dip", "When", "Soak", "Liquor", "pH", "Leuco", "Took up", "Blue so far"];
  return scroller(`Dips of ${piece.name} ${piece.number}${RUNS.includes(run) && RUNS.length > 1 ? ", run " + (RUNS.indexOf(run) + 1) : ""}`, table([foreign(piece.name), ` ${piece.number}, dip by dip`], heads, rows.map((i) => [
    String(dips.dip.values[i]), sayDay(dayOf(run, dips.time.values[i])), plain(dips.soak.values[i] / 60) + " min",
    say(dips.temperature.values[i], "degC"), plain(dips.ph.values[i]), say(dips.leuco.values[i], "g L-1"),
    say(dips.sorbed.values[i], "g kg-1"), spaced(wordOf(dips.shade, dips.shade.values[i])) +
      (dips.bed_touched && dips.bed_touched.values[i] > 0 ? ", touched the bed" : "") ])));
}
function pieceCard(run, piece, most) {
  const rows = dipsOf(run, piece);
  const dyed = piece.dips > 0;
  return make("li", { class: "piece" },
    make("span", { class: "swatch", style: dyed && piece.colour ? `background:${piece.colour}` : "", role: "img",
      "aria-label": dyed ? `swatch: ${piece.shade}` : "not dyed" }),
    make("div", { class: "piece-words" }, make("strong", {}, foreign(piece.name), " " + piece.number),
      make("span", {}, dyed ? piece.shade + (piece.specked ? ", specked" : "") : "not dyed"),
      dyed ? make("span", {}, `${piece.owf.toFixed(2)} % owf, ${piece.dips} dip${piece.dips === 1 ? "" : "s"}`) : null,
      piece.person === null ? null : make("span", { class: "whose" }, `person ${piece.person}` + (dyed ? `, vat ${piece.vat}, waited ${Math.round(piece.waited / 60)} min` : "")),
      rows.length ? dipBars(run, rows, most) : null),
    rows.length ? fold("Dips", () => dipTable(run, piece, rows)) : null);
}
function piecesOf(run) {
  const pieces = pieceList(run);
  const sorbed = run.dips.sorbed ? run.dips.sorbed.values : [];
  const most = Math.max(1e-9, ...sorbed.filter((value) => value !== null));
  const named = RUNS.length > 1 && run !== SHOP ? make("h3", {}, runSign(run), " ", foreign(run.label)) : null;
  return [named, make("ul", { class: "pieces" }, pieces.map((piece) => pieceCard(run, piece, most)))];
}
function piecesSection() {
  const holders = SHOP ? [SHOP] : RUNS;
  const any = holders.some((run) => run.pieces.kind && run.pieces.kind.values.length);
  return any ? section("pieces", "The cloth", make("p", { class: "hint" },
    "Each swatch as it is expected after washing; screens and printers differ, so trust the word and the per cent (indigotin on weight of fibre). One bar a dip, as tall as what it took up."),
    ...holders.flatMap(piecesOf)) : null;
}
