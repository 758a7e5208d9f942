"use strict";
// The frame of every chart: size, axes, hatchings, the line where the book ends. Numbers come from the program;
// nothing is reckoned here but where to put a mark.
const Frame = (() => {
  const HATCHINGS = ["plain", "rising", "dots", "level", "falling", "upright", "crossed"];
  const TEXT_PX = 12;

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
      x0: left, x1: width - right, y0: height - bottom, y1: top, definitions: svg.append("defs") };
  }

  function years(chart, from, to) {
    const x = d3.scaleLinear().domain([from, to]).range([chart.x0, chart.x1]);
    const axis = d3.axisBottom(x).ticks(Math.max(2, Math.floor((chart.x1 - chart.x0) / 60)))
      .tickFormat(year => Number.isInteger(year) ? String(year) : "").tickSizeOuter(0);
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

  // A fill that reads without colour: a shade, and a hatching of its own.
  function fill(chart, number, part) {
    const name = HATCHINGS[number % HATCHINGS.length], id = `${chart.id}-fill-${number}`;
    const pattern = chart.definitions.append("pattern").attr("id", id).attr("patternUnits", "userSpaceOnUse")
      .attr("width", 8).attr("height", 8);
    pattern.append("rect").attr("width", 8).attr("height", 8).style("fill", shade(part));
    const strokes = { plain: "", rising: "M-2,2 l4,-4 M0,8 l8,-8 M6,10 l4,-4", level: "M0,4 h8", upright: "M4,0 v8",
      falling: "M-2,6 l4,4 M0,0 l8,8 M6,-2 l4,4", crossed: "M0,4 h8 M4,0 v8" };
    const ink = part < 0.5 ? "hatch-light" : "hatch-dark";
    if (name === "dots") pattern.append("circle").attr("cx", 4).attr("cy", 4).attr("r", 1.4).attr("class", `${ink} dot`);
    else if (strokes[name]) pattern.append("path").attr("d", strokes[name]).attr("class", ink);
    return `url(#${id})`;
  }

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
      group.append("rect").attr("x", x).attr("y", y - 10).attr("width", 14).attr("height", 12)
        .attr("class", "outlined").style("fill", entry.fill);
      group.append("text").attr("x", x + 18).attr("y", y).text(entry.name);
      x += wide + 6;
    }
    return y;
  }

  return { begin, years, upright, now, fill, label, key, shade, widthOf, TEXT_PX };
})();
