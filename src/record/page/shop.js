/* shop.js: the day of a workshop: what the organiser is told, other plans, and all pieces of all vats. */

/* Lines of the answer: {label, words}; those without a label belong to the one before. */
function shopLines() {
  const lines = [];
  for (const line of SHOP ? SHOP.story.split("\n") : []) {
    const [label, , ...words] = line.split("\t");
    if (words.length === 0) continue;
    if (label === "" && lines.length) lines[lines.length - 1].words.push(words.join(" "));
    else lines.push({ label, words: [words.join(" ")] });
  }
  return lines;
}
function shopList(wanted) {
  return make("dl", { class: "short" }, shopLines().filter((line) => wanted(line.label)).map((line) => make("div", {},
    make("dt", {}, line.label), line.words.map((words) => live("dd", { dir: "auto" }, () => sentence(words))))));
}
function sayVolume(litres) { return say(litres, "L").replace(/\.0+(?!\d)/, ""); }
function clockOf(time) { return sayDay(dayOf(SHOP, time)).replace(/^day \d+, /, ""); }
function shopSubtitle() {
  const vats = `${RUNS.length} vat${RUNS.length === 1 ? "" : "s"} of ${sayVolume(valueAt(RUNS[0], "volume", 0))}`;
  const date = new Date((SHOP.start + SHOP.opens) * 1000).toISOString().slice(0, 10);
  return `${vats}, ${sayCount(SHOP.places)} places in all; ${clockOf(SHOP.opens)} to ${clockOf(SHOP.closes)} on ${date}`;
}
function plansTable() {
  const plans = SHOP.plans, rows = plans.vats ? plans.vats.values.length : 0;
  const get = (name, i) => plans[name].values[i];
  const part = (value) => (value === null ? "not tried" : share(value));
  return table("Other plans",
    ["Plan", "Wait of nine in ten", "Pieces finished", "Vats usable", "Blue after washing, half", "All goals"],
    Array.from({ length: rows }, (_, i) => {
      const best = get("best", i) > 0;
      const words = `${get("vats", i)} of ${sayVolume(get("volume", i))}, ${get("places", i)} place${get("places", i) === 1 ? "" : "s"} each`;
      return [best ? make("strong", {}, words, " ◂") : words, Math.round(get("wait_nine", i) / 60) + " min", share(get("finished", i)),
        part(get("usable", i)), get("owf_half", i) === null ? "none" : get("owf_half", i).toFixed(2) + " % owf",
        get("serves", i) > 0 ? "met" : "missed"];
    }));
}
function plansSection() {
  const any = SHOP.plans.vats && SHOP.plans.vats.values.length > 0;
  if (!any) return null;
  const box = make("div", {});
  const renew = () => box.replaceChildren(scroller("Other plans", plansTable()));
  renew();
  on("units", renew);
  const hint = make("p", { class: "hint" }, "◂ marks the plan that meets all goals with the least liquor in two vats or more.");
  return section("plans", "How many, how large, made when, fed when", shopList((label) => ["Vats", "Spare", "Made", "Fed"].includes(label)), hint, box);
}
/* People, pieces and places are counted; medians of an even number of days may lie halfway. */
function sayCount(value) { return Number(value.toFixed(1)).toLocaleString("en"); }
function describeCount(line) {
  const values = line.run.series[line.name].values, times = line.run.time;
  let high = 0, sum = 0, count = 0;
  values.forEach((value, row) => {
    if (value > values[high]) high = row;
    if (times[row] >= SHOP.opens && times[row] <= SHOP.closes) { sum += value; count++; }
  });
  return values[high] > 0 ? `${line.words}: highest ${sayCount(values[high])} at ${clockOf(times[high])}, ${sayCount(sum / Math.max(1, count))} on average while open.`
    : `${line.words}: none all day.`;
}
function peopleSection() {
  return section("day", "The people over the day", make("p", { class: "hint" },
    "One day as it may go, and what half of all days and nine days in ten do not exceed at each moment."),
  make("h3", {}, "Minute by minute"), make("div", { class: "figures" }, SHOP_CHARTS.map(chartFigure).filter(Boolean)));
}
/* Values at every half hour, where other charts have one a day. */
function halfHours() {
  const moments = [];
  for (let time = SHOP.opens; time <= SHOP.closes; time += 1800) moments.push(time);
  return moments;
}
