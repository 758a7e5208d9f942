"use strict";
// Draws every chart, and lets the lists and sliders choose among the figures that the program embedded.
(() => {
  const figures = JSON.parse(document.getElementById("figures").textContent);
  const chosen = new Map();  // id of a choice -> the option shown

  function drawingOf(choice, option) {
    const drawing = { ...choice.shared, ...option.drawing };
    if (choice.shared.series && option.drawing.series)
      drawing.series = [...option.drawing.series, ...choice.shared.series];
    return drawing;
  }

  function draw(figure, drawing) {
    Charts[drawing.kind](figure, drawing);
  }

  function fillFacts(holder, facts) {
    holder.querySelectorAll(".facts > div").forEach((entry, i) => {
      entry.querySelector(".value").textContent = facts[i][0];
      entry.querySelector(".remark").textContent = facts[i][1];
    });
  }

  function fillTable(holder, rows) {
    const numbers = [...holder.querySelectorAll("thead th, thead td")].map(heading => heading.classList.contains("number"));
    const lines = rows.map(cells => {
      const line = document.createElement("tr");
      cells.forEach((text, i) => {
        const names = i === 0 && text !== "";  // the row
        const cell = document.createElement(names ? "th" : "td");
        if (names) cell.scope = "row";
        if (numbers[i]) cell.className = "number";
        cell.textContent = text;
        line.append(cell);
      });
      return line;
    });
    holder.querySelector("tbody").replaceChildren(...lines);
  }

  function show(holder) {
    const choice = figures.choices[holder.dataset.choice], option = choice.options[chosen.get(holder.dataset.choice)];
    const figure = holder.querySelector("figure");
    fillFacts(holder, option.facts);
    figure.querySelector("figcaption").textContent = option.says;
    if (option.rows) fillTable(figure, option.rows);
    const paper = holder.querySelector(".on-paper");
    if (paper) paper.textContent = option.label;
    const output = holder.querySelector("output");
    if (output) {
      output.textContent = option.label;
      holder.querySelector("input").setAttribute("aria-valuetext", option.label);
    }
    draw(figure, drawingOf(choice, option));
  }

  function drawAll() {
    for (const figure of document.querySelectorAll("[data-chart]")) draw(figure, figures.charts[figure.dataset.chart]);
    document.querySelectorAll("[data-choice]").forEach(show);
  }

  for (const holder of document.querySelectorAll("[data-choice]")) {
    const control = holder.querySelector("select, input");
    chosen.set(holder.dataset.choice, Number(control.value));
    control.addEventListener("input", () => {
      chosen.set(holder.dataset.choice, Number(control.value));
      show(holder);
    });
  }

  // A chart is drawn for the width it has; on paper that of the sheet.
  let width = 0;
  function redraw() {
    if (document.documentElement.clientWidth === width) return;
    width = document.documentElement.clientWidth;
    drawAll();
  }
  window.addEventListener("resize", redraw);
  window.addEventListener("beforeprint", () => { width = 0; redraw(); });
  window.addEventListener("afterprint", () => { width = 0; redraw(); });
  redraw();
})();
