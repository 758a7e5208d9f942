// The page in a real browser: what a reader sees, compared with what the program says elsewhere. Expected figures come
// from other commands over other runs (tierce age, tierce forecast of a file with another habit), rounded here by the
// rules of docs/model.md: ages and shares down, all else to the nearest.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { pathToFileURL } from "node:url";
import axe from "axe-core";
import { openBrowser } from "./browser.mjs";

const program = process.env.TIERCE_PROGRAM, project = process.env.TIERCE_SOURCE_DIR;
const amber = join(project, "scenarios/amber.yaml");
const folder = mkdtempSync(join(tmpdir(), "tierce-page-"));
let browser;

const tierce = (...args) => execFileSync(program, args, { cwd: project, encoding: "utf8", maxBuffer: 1 << 28 });
const json = (...args) => JSON.parse(tierce(...args, "--json"));
const down = (value, decimals) => (Math.floor(value * 10 ** decimals + 1e-9) / 10 ** decimals).toFixed(decimals);
const up = (value, decimals) => (Math.ceil(value * 10 ** decimals - 1e-9) / 10 ** decimals).toFixed(decimals);
const plain = text => text.replaceAll("\u00a0", " ").replace(/\s+/g, " ").trim();

const made = new Map();
function makePage(...files) {
  const key = files.join();
  if (!made.has(key)) {
    made.set(key, join(folder, `page-${made.size}.html`));
    tierce("report", ...files, "-o", made.get(key));
  }
  return made.get(key);
}

async function open(path, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options });
  const page = await context.newPage();
  page.complaints = [];
  page.requested = [];
  page.on("console", message => page.complaints.push(message.text()));
  page.on("pageerror", error => page.complaints.push(error.message));
  page.on("dialog", dialog => { page.complaints.push("a dialog opened"); dialog.dismiss(); });
  page.on("request", request => page.requested.push(request.url()));
  await page.goto(pathToFileURL(path).href);
  return page;
}

before(async () => { browser = await openBrowser(); });
after(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true, force: true });
});

test("the demo's page is one file under 1 MB that asks for nothing and complains of nothing", async () => {
  const path = makePage(amber);
  assert.ok(statSync(path).size < 1_000_000, `${statSync(path).size} bytes`);
  const page = await open(path);
  assert.deepEqual(page.complaints, []);
  assert.deepEqual(page.requested, [pathToFileURL(path).href]);
  const policy = await page.getAttribute("meta[http-equiv=Content-Security-Policy]", "content");
  assert.match(policy, /^default-src 'none'; script-src 'sha256-\S+'; style-src 'sha256-\S+';/);
  assert.doesNotMatch(policy, /unsafe/);
});

test("the policy stops a script that is not the page's own", async () => {
  const path = join(folder, "guarded.html");
  writeFileSync(path, readFileSync(makePage(amber), "utf8").replace("</main>", "</main><script>document.title = 'taken'</script>"));
  const page = await open(path);
  assert.equal(await page.title(), "Amber");
  assert.equal(page.complaints.length, 1);
});

// The share of pixels that differ from the corner's: none for a blank picture.
async function inked(page, locator) {
  const picture = (await locator.screenshot()).toString("base64");
  const canvas = await page.context().newPage();
  const share = await canvas.evaluate(async data => {
    const image = new Image();
    image.src = `data:image/png;base64,${data}`;
    await image.decode();
    const board = new OffscreenCanvas(image.width, image.height).getContext("2d");
    board.drawImage(image, 0, 0);
    const { data: pixels } = board.getImageData(0, 0, image.width, image.height);
    let other = 0;
    for (let i = 0; i < pixels.length; i += 4)
      if ([0, 1, 2].some(k => Math.abs(pixels[i + k] - pixels[k]) > 40)) ++other;
    return other / (pixels.length / 4);
  }, picture);
  await canvas.close();
  return share;
}

for (const [width, scheme] of [[1280, "light"], [390, "light"], [1280, "dark"]])
  test(`every chart is drawn, and inside the page, at ${width} px, ${scheme}`, async () => {
    const page = await open(makePage(amber), { viewport: { width, height: 900 }, colorScheme: scheme });
    const charts = await page.locator(".chart .drawing").all();
    assert.ok(charts.length >= 7, `${charts.length} charts`);
    for (const chart of charts) {
      const share = await inked(page, chart);
      assert.ok(share > 0.01, `${share} of the picture is drawn`);
      const text = await chart.locator("svg").evaluate(svg => [...svg.querySelectorAll("text, path, rect")]
        .some(mark => /NaN|undefined/.test(mark.outerHTML)));
      assert.equal(text, false);
    }
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), width);
  });

test("the list of draws shows what tierce age says", async () => {
  const page = await open(makePage(amber));
  const part = page.locator("[data-choice]", { has: page.locator("select") });
  const names = await part.locator("option").allTextContents();
  const draws = json("forecast", amber).draws;
  assert.deepEqual(names.map(name => name.split(",")[0]), draws.map(draw => draw.name));
  const seen = new Set();
  for (const name of ["Bottling 2019", "Bottling 2026", "Bottling 2045"]) {
    const [draw] = json("age", amber, "--draw", name).draws;
    await part.locator("select").selectOption({ index: names.findIndex(text => text.startsWith(name)) });
    const values = await part.locator(".value").allTextContents();
    assert.equal(plain(values[0]), `${down(draw.age.mean_y, 1)} years`);
    assert.equal(plain(values[1]), `${down(draw.age.youngest_y, 1)} years`);
    assert.equal(plain(values[2]), `${down(draw.age.oldest_y, 1)} years`);
    const rows = await part.locator("tbody tr").allTextContents();
    assert.equal(rows.length, draw.shares.length);
    for (const [i, share] of draw.shares.entries()) {
      const cells = await part.locator("tbody tr").nth(i).locator("th, td").allTextContents();
      assert.deepEqual([cells[1], cells[2], cells[4]], [share.lot, down(100 * share.fraction, 1), down(share.age_y, 1)]);
    }
    assert.equal(await part.locator("svg rect.bar").count(), draw.shares.length);
    const marks = await part.locator("svg .mark text").allTextContents();
    assert.ok(marks.includes(`mean ${down(draw.age.mean_y, 1)}`), marks.join());
    assert.ok(marks.includes(`half up to ${up(draw.age.quantiles_y["0.5"], 1)}`), marks.join());
    seen.add(await part.locator("svg").innerHTML());
  }
  assert.equal(seen.size, 3);
  assert.deepEqual(page.complaints, []);
});

test("the slider shows what the program says of a file that draws so much", async () => {
  const page = await open(makePage(amber));
  const part = page.locator("[data-choice]", { has: page.locator("input[type=range]") });
  const slider = part.locator("input");
  assert.equal(await slider.getAttribute("min"), "0");
  assert.equal(await slider.getAttribute("max"), "45");
  assert.equal(plain(await part.locator("output").textContent()), "20 %");
  const seen = new Set();
  for (const percent of [5, 20, 33, 50]) {
    const file = join(folder, `draw-${percent}.yaml`);
    writeFileSync(file, readFileSync(amber, "utf8").replace("  draw: 20 %\n  for", `  draw: ${percent} %\n  for`));
    const forecast = json("forecast", file), last = forecast.draws.at(-1), year = forecast.years.at(-1);
    await slider.fill(String(percent - 5));
    assert.equal(plain(await part.locator("output").textContent()), `${percent} %`);
    const values = (await part.locator(".value").allTextContents()).map(plain);
    assert.deepEqual(values, [`${down(last.age.mean_y, 1)} years`, `${down(last.age.youngest_y, 1)} years`,
      `${year.drawn_L.toFixed(0)} L`, Math.round(year.drawn_L / 0.375).toLocaleString("en-GB"), `${year.in_L.toFixed(0)} L`,
      `${down(forecast.long_run.mean_y, 1)} years`, `${down(forecast.long_run.half_life_y, 1)} years`]);
    seen.add(await part.locator("svg").innerHTML());
  }
  assert.equal(seen.size, 4);
  assert.equal(await part.locator("tbody tr").count(), 47);  // 46 shares, and the file's own habit
});

test("list and slider work by keyboard", async () => {
  const page = await open(makePage(amber));
  const slider = page.locator("input[type=range]"), output = page.locator("output");
  await slider.focus();
  await page.keyboard.press("ArrowRight");
  assert.equal(plain(await output.textContent()), "21 %");
  assert.equal(plain(await slider.getAttribute("aria-valuetext")), "21 %");
  await page.locator("select").focus();
  await page.keyboard.press("ArrowDown");
  assert.match(await page.locator("select").evaluate(list => list.selectedOptions[0].text), /^Bottling 2027/);
  assert.match(await page.locator("[data-choice]").first().locator(".remark").nth(4).textContent(), /planned/);
  const summary = page.locator("summary").first();
  await summary.focus();
  await page.keyboard.press("Enter");
  assert.ok(await page.locator("details").first().evaluate(details => details.open));
  await page.keyboard.press("Tab");  // into the table, which can be scrolled by keyboard
  assert.equal(await page.evaluate(() => document.activeElement.className), "scroll");
});

test("text of the file is text on the page, whatever it looks like", async () => {
  const file = join(folder, "markup.yaml"), name = "<script>alert(1)</script>";
  writeFileSync(file, `reserve: "${name}"
tiers: [{name: "</script><b>tier", vessels: [{name: "<i>V", capacity: 225 L}]}]
lots: [{name: "&lt;L'\\"{{lead}}", vintage: 2020, alcohol: 18 %vol}]
log: [{date: 2021-01-05, do: add, lot: "&lt;L'\\"{{lead}}", to: "</script><b>tier", volume: 220 L}]
habit: {day: 10 Feb, draw: 20 %, for: "<!-- <script> {year}", refill: {like: "&lt;L'\\"{{lead}}"}}
until: 2026
`);
  const page = await open(makePage(file, amber));
  assert.deepEqual(page.complaints, []);
  assert.ok((await page.locator("h2.reserve-name").allTextContents()).includes(name));
  assert.ok((await page.locator("h4").allTextContents()).some(text => text.includes("</script><b>tier")));
  assert.ok((await page.locator("option").allTextContents()).some(text => text.startsWith("<!-- <script> 2022")));
  assert.ok((await page.locator("td").allTextContents()).includes(`&lt;L'"{{lead}}`));
  assert.equal(await page.locator("main script, main b, main i").count(), 0);
});

test("several reserves stand side by side, then each by itself", async () => {
  const files = ["amber", "three_tiers", "steel_reserve"].map(name => join(project, `scenarios/${name}.yaml`));
  const path = makePage(...files);
  const page = await open(path);
  assert.deepEqual(page.complaints, []);
  const names = files.map(file => json("forecast", file).reserve);
  assert.deepEqual(await page.locator(".overview tbody th").allTextContents(), names);
  assert.deepEqual(await page.locator("h2.reserve-name").allTextContents(), names);
  const ids = await page.locator("[id]").evaluateAll(all => all.map(one => one.id));
  assert.equal(new Set(ids).size, ids.length);
});

for (const [width, scheme, ...more] of [[1280, "light"], [390, "dark", join(project, "scenarios/steel_reserve.yaml")]])
  test(`axe finds no fault at ${width} px, ${scheme}`, async () => {
    const page = await open(makePage(amber, ...more),
      { viewport: { width, height: 900 }, colorScheme: scheme });
    if (more.length === 0) await page.locator("details").evaluateAll(all => all.forEach(one => { one.open = true; }));
    await page.evaluate(axe.source);
    const { violations, passes } = await page.evaluate(() => axe.run());
    assert.ok(passes.length > 20, `${passes.length} rules were applied`);
    assert.deepEqual(violations.map(fault => `${fault.impact} ${fault.id}: ${fault.nodes[0].html}`), []);
  });

test("series are told apart without colour", async () => {
  const page = await open(makePage(amber));
  const fills = await page.locator("[data-chart] svg").first().evaluate(svg => [...svg.querySelectorAll(".painted")]
    .map(band => [band.dataset.hatching, band.querySelectorAll("path[clip-path]").length,
      band.querySelector("path[clip-path]")?.getAttribute("d")]));
  assert.ok(fills.length >= 20, `${fills.length} bands`);
  for (let i = 1; i < fills.length; ++i) assert.notEqual(fills[i][0], fills[i - 1][0]);
  for (const [name, lines, d] of fills) {  // and what is drawn differs, not only the name
    assert.equal(lines, name === "plain" ? 0 : 1);
    const slope = name === "plain" ? null : /^M([-\d.]+),([-\d.]+)(?:H|V|L([-\d.]+),([-\d.]+))/.exec(d);
    if (name === "rising") assert.ok(slope[4] < slope[2] - 0);
    if (name === "falling") assert.ok(slope[4] - slope[2] > 0);
    if (name === "level" || name === "dots") assert.match(d, /^(M[-\d.]+,[-\d.]+H[-\d.]+)*$/);
    if (name === "upright") assert.match(d, /^(M[-\d.]+,[-\d.]+V[-\d.]+)*$/);
  }
  const dashes = await page.locator(".line path").evaluateAll(all => all.map(path => getComputedStyle(path).strokeDasharray));
  assert.ok(new Set(dashes).size >= 2);
});

test("without scripts every chart still has its words and its table", async () => {
  const page = await open(makePage(amber), { javaScriptEnabled: false });
  for (const figure of await page.locator("figure").all()) {
    assert.ok((await figure.locator("figcaption").textContent()).length > 20);
    assert.ok(await figure.locator("tbody tr").count() > 0);
  }
});

test("on A4 each part begins a sheet, and no chart is cut", async () => {
  const page = await open(makePage(amber), { colorScheme: "dark" });
  const titles = await page.locator(".part h3").allTextContents();
  const pdf = join(folder, "paper.pdf");
  await page.pdf({ path: pdf, preferCSSPageSize: true });
  const info = execFileSync("pdfinfo", [pdf], { encoding: "utf8" });
  assert.match(info, /Page size: +59[45]\.\d+ x 84[12]\.\d+ pts \(A4\)/);
  const pages = Number(info.match(/Pages: +(\d+)/)[1]);
  // Sulfur takes three sheets, the refresh two and its own two for the cellar, the label four, all else one.
  assert.ok(pages >= titles.length && pages <= titles.length + 9, `${pages} pages for ${titles.length} parts`);
  assert.ok(statSync(pdf).size < 3_000_000, `${statSync(pdf).size} bytes`);
  const sheets = execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8" }).split("\f").slice(0, pages);
  for (const [i, title] of titles.entries()) {
    const sheet = sheets.findIndex(text => text.includes(title) && (i === 0 || text.trimStart().startsWith("Amber")));
    assert.notEqual(sheet, -1, `no sheet begins with ${title}`);
    const head = sheets[sheet].trim().split("\n").map(plain).filter(Boolean);
    if (i > 0) assert.equal(head[1], title);
  }
  const cellar = sheets.findIndex(text => /REFRESH of .* page 1 of 2/.test(text));
  assert.notEqual(cellar, -1, "no sheet for the cellar");
  assert.match(sheets[cellar], /1 +GAUGE[^]*Local codes and licensed practice decide, not this sheet\./);
  assert.ok(sheets.some(text => /Draw\s+Bottling 2026, 10\s+Feb\s+2026/.test(text)), "the draw that is shown is not named");
  await page.emulateMedia({ media: "print" });
  const figures = await page.locator("figure.chart").evaluateAll(all => all.map(figure =>
    [getComputedStyle(figure).breakInside, figure.getBoundingClientRect().height]));
  const sheet = (297 - 30) / 25.4 * 96;
  for (const [inside, height] of figures) assert.ok(inside === "avoid" && height < sheet, `${inside}, ${height} px`);
  assert.equal(await page.evaluate(() => getComputedStyle(document.body).backgroundColor), "rgb(255, 255, 255)");
});
