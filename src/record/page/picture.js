/* picture.js: making elements; text only ever enters them as text. */
function make(tag, attributes, ...children) {
  return fill(document.createElement(tag), attributes, children);
}
function draw(tag, attributes, ...children) {
  return fill(document.createElementNS("http://www.w3.org/2000/svg", tag), attributes, children);
}
function fill(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes || {})) {
    if (value !== null && value !== undefined && value !== false) element.setAttribute(name, value === true ? "" : value);
  }
  for (const child of children.flat()) {
    if (child !== null && child !== undefined) element.append(child); /* a string becomes a text node */
  }
  return element;
}
/* Words that came from a file: kept apart from the direction of the words around them. */
function foreign(text) { return make("bdi", {}, text); }
function section(id, name, ...children) {
  return make("section", { id, "aria-labelledby": id + "-name" }, make("h2", { id: id + "-name" }, name), ...children);
}
/* What must be drawn again when units, width, light or the moment change. */
const listeners = { units: [], width: [], light: [], moment: [] };
function on(what, act) { listeners[what].push(act); }
function tellAll(what) { for (const act of listeners[what]) act(); }
/* Words that follow the units: `words` gives the text anew. */
function live(tag, attributes, words) {
  const element = make(tag, attributes);
  const renew = () => { element.textContent = words(); };
  renew();
  on("units", renew);
  element.renew = renew;
  return element;
}
function colour(name) { return getComputedStyle(document.documentElement).getPropertyValue(name).trim(); }
function table(caption, heads, rows) {
  return make("table", {}, make("caption", {}, caption),
    make("thead", {}, make("tr", {}, heads.map((head) => make("th", { scope: "col" }, head)))),
    make("tbody", {}, rows.map((row) => make("tr", {}, row.map((cell, i) =>
      make(i === 0 ? "th" : "td", i === 0 ? { scope: "row" } : {}, cell))))));
}
/* A box that may scroll sideways by itself, so that the page need not. */
function scroller(name, ...children) {
  return make("div", { class: "scroller", tabindex: 0, role: "region", "aria-label": name }, ...children);
}
/* A fold whose inside is made when it is first opened. */
function fold(name, inside) {
  const box = make("details", {}, make("summary", {}, name));
  const fill = () => { if (box.open && box.childNodes.length === 1) box.append(inside()); };
  box.addEventListener("toggle", fill);
  box.renew = () => { while (box.childNodes.length > 1) box.lastChild.remove(); fill(); };
  return box;
}
