"use strict";
// The four kinds of chart. Each takes the figure to draw in and what the program says is to be drawn.
const Charts = (() => {
  const { begin, years, upright, now, paint, rect, label, key, widthOf } = Frame;
  const part = (i, n) => n < 2 ? 0 : i / (n - 1);
  const known = value => value !== null && value !== undefined;

  // Shares of every vintage, one upon another.
  function stack(figure, drawing) {
    const chart = begin(figure), n = drawing.series.length;
    const first = drawing.x[0], last = drawing.x[drawing.x.length - 1];
    const alone = first === last;
    const x = years(chart, first, alone ? last + 1 : last), y = upright(chart, 0, drawing.y.to, `${drawing.y.name}, ${drawing.y.unit}`);
    const at = alone ? [first, first + 1] : drawing.x;
    const below = at.map(() => 0);
    const bands = chart.svg.append("g");
    const names = chart.svg.append("g"), taken = [];
    drawing.series.forEach((series, i) => {
      const values = alone ? [series.values[0], series.values[0]] : series.values;
      const from = below.slice();
      values.forEach((value, j) => { below[j] += value; });
      const to = below.slice();
      const area = d3.area().x((_, j) => x(at[j])).y0((_, j) => y(from[j])).y1((_, j) => y(to[j]));
      paint(chart, bands, [{ tag: "path", at: { d: area(at) }, title: series.name,
        box: [x(at[0]), y(Math.max(...to)), x(at[at.length - 1]), y(Math.min(...from))] }], i, part(i, n));
      nameBand(names, taken, chart, series.name, at.map((year, j) => ({ x: x(year), y: (y(from[j]) + y(to[j])) / 2,
        thick: y(from[j]) - y(to[j]) })));
    });
    if (known(drawing.now)) now(chart, x(drawing.now));
  }

  // Where a band is thickest it carries its name, if it is thick enough and no other name stands there.
  function nameBand(names, taken, chart, text, places) {
    const wide = widthOf(text);
    const free = place => taken.every(other => Math.abs(place.x - other.x) > wide || Math.abs(place.y - other.y) > 14);
    let best = null;
    for (const place of places) {
      const inside = Math.min(place.x - chart.x0, chart.x1 - place.x) >= wide / 2;
      if (inside && place.thick > 13 && (best === null || place.thick > best.thick) && free(place)) best = place;
    }
    if (best === null) return;
    taken.push(best);
    label(names, best.x, best.y + 4, text);
  }

  // The wine of every vintage in one draw, by its age, with the mean and the quantiles.
  function ages(figure, drawing) {
    const rows = drawing.marks.length;
    const chart = begin(figure, { top: 30 + 15 * rows, tall: 0.5, right: 24, bottom: 44 });
    const high = Math.max(...drawing.bars.map(bar => bar.y), 1);
    const x = d3.scaleLinear().domain([0, 1.03 * Math.max(3, ...drawing.bars.map(bar => bar.x)) + 0.3]).range([chart.x0, chart.x1]);
    const y = upright(chart, 0, high * 1.12, `${drawing.y.name}, ${drawing.y.unit}`);
    chart.svg.append("g").attr("class", "axis").attr("transform", `translate(0,${chart.y0})`)
      .call(d3.axisBottom(x).ticks(Math.max(3, Math.floor((chart.x1 - chart.x0) / 60)))
        .tickFormat(age => Number.isInteger(age) ? String(age) : "").tickSizeOuter(0));
    chart.svg.append("text").attr("class", "axis-name").attr("x", chart.x1).attr("y", chart.y0 + 34)
      .attr("text-anchor", "end").text(`${drawing.x.name}, ${drawing.x.unit}`);
    const wide = Math.max(4, Math.min(34, 0.62 * (x(1) - x(0))));
    paint(chart, chart.svg, drawing.bars.map(bar =>
      rect(x(bar.x) - wide / 2, y(bar.y), wide, chart.y0 - y(bar.y), { kind: "bar", title: bar.name })), 1, 0.35);
    if (drawing.bars.length === 0) label(chart.svg, (chart.x0 + chart.x1) / 2, (chart.y0 + chart.y1) / 2, "no age of this wine is known");
    drawing.marks.forEach((mark, i) => markAge(chart, x(mark.x), mark.name, 26 + 15 * i));
    for (const bar of drawing.bars) {  // names last: they stand on the lines of the marks
      const year = /^\d{4}/.test(bar.name) ? bar.name.slice(0, 4) : bar.name;
      if (x(1) - x(0) > widthOf(year) - 2) label(chart.svg, x(bar.x), y(bar.y) - 4, year);
    }
  }

  function markAge(chart, x, text, y) {
    const group = chart.svg.append("g").attr("class", text.startsWith("mean") ? "mark mean" : "mark");
    group.append("line").attr("x1", x).attr("x2", x).attr("y1", y + 2).attr("y2", chart.y0);
    const fits = x + 5 + widthOf(text) < chart.width;
    label(group, fits ? x + 4 : x - 4, y + 4, text, fits ? "start" : "end");
  }

  // What came in above the line, what left below it, year by year.
  function columns(figure, drawing) {
    const room = Math.ceil(drawing.series.reduce((sum, series) => sum + widthOf(series.name) + 28, 0) /
      Math.max(240, figure.querySelector(".drawing").clientWidth - 60));
    const chart = begin(figure, { top: 42 + 18 * room, left: 52 });
    const sums = drawing.x.map((_, j) => drawing.series.reduce((sum, { values }) =>
      values[j] > 0 ? [sum[0] + values[j], sum[1]] : [sum[0], sum[1] + values[j]], [0, 0]));
    const y = upright(chart, 1.06 * Math.min(...sums.map(sum => sum[1])), 1.04 * Math.max(...sums.map(sum => sum[0])),
      `${drawing.y.unit} ${drawing.y.name}`);
    const x = years(chart, drawing.x[0] - 0.6, drawing.x[drawing.x.length - 1] + 0.6, true);
    const wide = Math.max(3, 0.7 * (x(1) - x(0)));
    const up = drawing.x.map(() => 0), down = drawing.x.map(() => 0), entries = [];
    drawing.series.forEach((series, i) => {
      const shapes = [];
      series.values.forEach((value, j) => {
        const side = value > 0 ? up : down, from = side[j], to = from + value;
        side[j] = to;
        if (value !== 0) shapes.push(rect(x(drawing.x[j]) - wide / 2, Math.min(y(from), y(to)), wide,
          Math.abs(y(from) - y(to)), { title: `${drawing.x[j]}: ${series.name}` }));
      });
      entries.push({ name: series.name, number: i, part: part(i, drawing.series.length) });
      paint(chart, chart.svg, shapes, i, part(i, drawing.series.length));
    });
    chart.svg.append("line").attr("class", "zero").attr("x1", chart.x0).attr("x2", chart.x1).attr("y1", y(0)).attr("y2", y(0));
    if (known(drawing.now)) now(chart, x(drawing.now + 0.5));
    chart.y1 = 38;
    key(chart, entries);
  }

  // Lines over the years, told apart by dashes, dots and names; limits as dashed lines, bands as shaded ones.
  function lines(figure, drawing) {
    const series = drawing.series.filter(one => one.points.length > 0);
    const longest = Math.max(...series.filter(one => !one.marks).map(one => widthOf(one.name)), 20);
    const narrow = figure.querySelector(".drawing").clientWidth < 480;
    const rows = narrow ? series.length : 0;
    const chart = begin(figure, { right: narrow ? 14 : longest + 6, top: 36 + 18 * rows });
    const points = series.flatMap(one => one.points).filter(point => known(point[1]));
    if (points.length === 0) { label(chart.svg, chart.width / 2, chart.height / 2, "nothing known to draw"); return; }
    const [low, high] = range(drawing, points.map(point => point[1]));
    const spanOfYears = d3.extent(points, point => point[0]);
    const x = years(chart, spanOfYears[0], Math.max(spanOfYears[1], spanOfYears[0] + 1));
    const y = upright(chart, low, high, `${drawing.y.name}, ${drawing.y.unit}`);
    for (const band of drawing.bands || []) drawBand(chart, y, band);
    if (known(drawing.now)) now(chart, x(drawing.now));
    series.forEach((one, i) => drawLine(chart, x, y, one, i));
    for (const limit of drawing.limits || []) drawLimit(chart, y, limit);
    nameLines(chart, x, y, series, narrow);
  }

  function range(drawing, values) {
    const marked = [...(drawing.limits || []).map(limit => limit.y),
      ...(drawing.bands || []).flatMap(band => [band.from, band.to])];
    const all = [...values, ...marked];
    const low = known(drawing.y.from) ? drawing.y.from : Math.min(...all) - 0.3;
    const high = Math.max(...all, known(drawing.y.to) ? drawing.y.to : -Infinity);
    return [low, high + 0.08 * (high - low || 1)];
  }

  function drawBand(chart, y, band) {
    const BAND = 1;  // the hatching "rising"
    paint(chart, chart.svg.append("g").attr("class", "band"),
      [rect(chart.x0, y(band.to), chart.x1 - chart.x0, y(band.from) - y(band.to))], BAND, 1);
    label(chart.svg, chart.x0 + 6, y(band.to) + 13, band.name, "start");
  }

  function drawLimit(chart, y, limit) {
    const group = chart.svg.append("g").attr("class", "limit");
    group.append("line").attr("x1", chart.x0).attr("x2", chart.x1).attr("y1", y(limit.y)).attr("y2", y(limit.y));
    const most = Math.floor((chart.x1 - chart.x0) / 6.6);
    const text = limit.name.length > most ? `${limit.name.slice(0, most - 2)} …` : limit.name;
    label(group, chart.x0 + 6, y(limit.y) - 4, text, "start");
  }

  function drawLine(chart, x, y, one, number) {
    const group = chart.svg.append("g").attr("class", `line line-${number % 4}${one.marks ? " marks" : ""}`);
    const path = d3.line().defined(point => known(point[1])).x(point => x(point[0])).y(point => y(point[1]));
    if (!one.marks) group.append("path").attr("d", path(one.points));
    const crowded = one.points.length > 0.12 * (chart.x1 - chart.x0);
    if (crowded && !one.marks) return;
    for (const point of one.points.filter(each => known(each[1])))
      group.append(one.marks ? "path" : "circle")
        .attr("d", one.marks ? `M${x(point[0]) - 4},${y(point[1])} h8 m-4,-4 v8` : null)
        .attr("cx", one.marks ? null : x(point[0])).attr("cy", one.marks ? null : y(point[1])).attr("r", one.marks ? null : 2.6);
  }

  // Names stand at the ends of their lines, pushed apart; on a phone above the chart, with a piece of the line.
  function nameLines(chart, x, y, series, narrow) {
    if (narrow) {
      series.forEach((one, i) => {
        const group = chart.svg.append("g").attr("class", `line line-${i % 4}${one.marks ? " marks" : ""}`);
        const at = 28 + 16 * i;
        group.append("path").attr("d", one.marks ? `M${chart.x0 + 8},${at - 4} h8 m-4,-4 v8` : `M${chart.x0},${at - 4} h26`);
        label(group, chart.x0 + 32, at, one.name, "start");
      });
      return;
    }
    const ends = series.filter(one => !one.marks).map(one => {
      const last = one.points.filter(point => known(point[1])).pop();
      return { name: one.name, x: last ? x(last[0]) + 6 : chart.x1 + 6, y: last ? y(last[1]) + 4 : chart.y1 };
    }).sort((a, b) => a.y - b.y);
    ends.forEach((end, i) => {
      if (i > 0 && Math.abs(end.x - ends[i - 1].x) < 90) end.y = Math.max(end.y, ends[i - 1].y + 14);
    });
    for (const end of ends) label(chart.svg, end.x, end.y, end.name, "start");
  }

  return { stack, ages, columns, lines };
})();
