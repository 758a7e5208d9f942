"use strict";
// The frame of every chart: size, axes, hatchings, the line where the book ends. Numbers come from the program;
// nothing is reckoned here but where to put a mark.
const Frame = (() => {
  const HATCHINGS = ["plain", "rising", "dots", "level", "falling", "upright", "crossed"];

  const widthOf = text => 6.6 * text.length + 6;

  // Darkest for the oldest: from 0 (old) to 1 (young).
  const shade = part => `color-mix(in oklab, var(--old), var(--young) ${(100 * part).toFixed(1)}%)`;

  function begin(figure, { left = 46, right = 12, top = 34, bottom = 30, tall = 0.46 } = {}) {
    const host = figure.querySelector(".drawing");
    host.replaceChildren();
    const width = Math.max(280, host.clientWidth || 720);
    const height = Math.round(Math.max(230, Math.min(380, width * tall)));
    const heading = figure.querySelector("h4"), says = figure.querySelector("figcaption");
    const svg = d3.select(host).append("svg")
      .attr("viewBox", `0 0 ${width} ${height}`).attr("role", "img")
      .attr("aria-labelledby", heading.id).attr("aria-describedby", says.id);
    return { svg, width, height, left, right, top, bottom, id: heading.id,
      x0: left, x1: width - right, y0: height - bottom, y1: top, definitions: svg.append("defs"), cuts: 0 };
  }

  // A year, or a quarter of one where few years are shown.
  function yearName(year) {
    if (Number.isInteger(year)) return String(year);
    const quarter = Math.round(4 * (year - Math.floor(year)));
    return Number.isInteger(4 * year) ? ["", "Apr", "Jul", "Oct"][quarter] : "";
  }

  function years(chart, from, to, whole = false) {
    const x = d3.scaleLinear().domain([from, to]).range([chart.x0, chart.x1]);
    const axis = d3.axisBottom(x).tickSizeOuter(0).tickFormat(yearName);
    if (to - from < 3 && !whole) axis.tickValues(d3.range(Math.ceil(4 * from), 4 * to + 0.01).map(quarter => quarter / 4));
    else axis.ticks(Math.max(2, Math.floor((chart.x1 - chart.x0) / 60)));
    chart.svg.append("g").attr("class", "axis").attr("transform", `translate(0,${chart.y0})`).call(axis);
    return x;
  }

  function upright(chart, from, to, name) {
    const y = d3.scaleLinear().domain([from, to]).range([chart.y0, chart.y1]);
    const axis = d3.axisLeft(y).ticks(Math.max(3, Math.floor((chart.y0 - chart.y1) / 45))).tickSizeOuter(0);
    const group = chart.svg.append("g").attr("class", "axis").attr("transform", `translate(${chart.x0},0)`).call(axis);
    group.selectAll(".tick").append("line").attr("class", "rule").attr("x2", chart.x1 - chart.x0);
    chart.svg.append("text").attr("class", "axis-name").attr("x", 2).attr("y", 12).text(name);
    return y;
  }

  // Where the book ends and the plan begins.
  function now(chart, position) {
    if (!(position > chart.x0 && position < chart.x1)) return;
    const mark = chart.svg.append("g").attr("class", "now");
    mark.append("line").attr("class", "halo").attr("x1", position).attr("x2", position).attr("y1", chart.y1).attr("y2", chart.y0);
    mark.append("line").attr("x1", position).attr("x2", position).attr("y1", chart.y1 - 4).attr("y2", chart.y0);
    const room = position - chart.x0 > 60;
    if (room) mark.append("text").attr("x", position - 4).attr("y", chart.y1 - 6).attr("text-anchor", "end").text("book");
    mark.append("text").attr("x", position + 4).attr("y", chart.y1 - 6).text("plan");
  }

  // Shapes of one series, told apart without colour: a shade, and a hatching of its own. The hatching is lines, cut to
  // the shapes; as an SVG pattern it would be stored as a picture on paper, and a page take megabytes.
  function paint(chart, parent, shapes, number, part) {
    const name = HATCHINGS[number % HATCHINGS.length];
    const group = parent.append("g").attr("class", "painted").attr("data-hatching", name);
    const put = (into, shape) => {
      const one = into.append(shape.tag);
      for (const [key, value] of Object.entries(shape.at)) one.attr(key, value);
      return one;
    };
    for (const shape of shapes) {
      const one = put(group, shape).attr("class", `outlined ${shape.kind || ""}`).style("fill", shade(part));
      if (shape.title) one.append("title").text(shape.title);
    }
    if (name === "plain" || shapes.length === 0) return;
    const id = `${chart.id}-cut-${chart.cuts++}`, clip = chart.definitions.append("clipPath").attr("id", id);
    shapes.forEach(shape => put(clip, shape));
    const box = { x0: Math.min(...shapes.map(shape => shape.box[0])), y0: Math.min(...shapes.map(shape => shape.box[1])),
      x1: Math.max(...shapes.map(shape => shape.box[2])), y1: Math.max(...shapes.map(shape => shape.box[3])) };
    group.append("path").attr("d", hatching(name, box)).attr("clip-path", `url(#${id})`)
      .attr("class", `${part < 0.5 ? "hatch-light" : "hatch-dark"}${name === "dots" ? " dot" : ""}`);
  }

  // Lines over a box, on a grid that all shapes of a chart share.
  function hatching(name, { x0, y0, x1, y1 }) {
    const STEP = 8, tall = Math.ceil((y1 - y0) / STEP) * STEP;
    const first = value => Math.floor(value / STEP) * STEP, top = first(y0), lines = [];
    const level = () => { for (let y = top + STEP / 2; y < y1; y += STEP) lines.push(`M${first(x0)},${y}H${x1.toFixed(1)}`); };
    const upright = () => { for (let x = first(x0) + STEP / 2; x < x1; x += STEP) lines.push(`M${x},${top}V${y1.toFixed(1)}`); };
    const slanted = sign => {
      const down = top + tall + STEP;
      for (let x = first(x0) - tall - STEP; x < x1; x += STEP)
        lines.push(sign > 0 ? `M${x},${down}L${x + tall + STEP},${top}` : `M${x},${top}L${x + tall + STEP},${down}`);
    };
    if (name === "level" || name === "dots" || name === "crossed") level();
    if (name === "upright" || name === "crossed") upright();
    if (name === "rising") slanted(1);
    if (name === "falling") slanted(-1);
    return lines.join("");
  }

  const rect = (x, y, width, height, more = {}) =>
    ({ tag: "rect", at: { x, y, width, height }, box: [x, y, x + width, y + height], ...more });

  // A name on a fill, with the paper's colour round it.
  function label(parent, x, y, text, anchor = "middle") {
    return parent.append("text").attr("class", "label").attr("x", x).attr("y", y).attr("text-anchor", anchor).text(text);
  }

  // A key for fills that are too thin to carry their names; returns the height it took.
  function key(chart, entries) {
    let x = chart.x0, y = chart.y1 - 8;
    const group = chart.svg.append("g").attr("class", "key");
    for (const entry of entries) {
      const wide = widthOf(entry.name) + 22;
      if (x + wide > chart.width && x > chart.x0) { x = chart.x0; y += 18; }
      paint(chart, group, [rect(x, y - 10, 14, 12)], entry.number, entry.part);
      group.append("text").attr("x", x + 18).attr("y", y).text(entry.name);
      x += wide + 6;
    }
    return y;
  }

  return { begin, years, upright, now, paint, rect, label, key, widthOf };
})();
