// Every sheet and drawing of every scenario in a real browser: what cargo's tests cannot see.
// Takes the folder where playwright-core and axe-core are installed, and the built program; says what is wrong.
// Does not know what a sheet should say beyond what the JSON of the same command says.
//
//   node .ci/sheets.mjs FOLDER PROGRAM

import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [folder, program] = process.argv.slice(2).map((path) => resolve(path));
const require = createRequire(join(folder, "package.json"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const COMMANDS = ["plan", "weigh", "swap", "card", "reach", "pack", "log", "learn"];
// Those that need a legal plan to start from.
const FROM_A_PLAN = ["card", "reach"];
const WITHOUT_DRAWING = ["card", "pack", "log", "learn"];
// One pound, exact by definition (international yard and pound agreement, 1959).
const KG_PER_LB = 0.45359237;
const WIDTHS = [320, 360, 667, 800, 1000, 1600];
// Colours and scripts of the accessibility rules are the same at every width.
const WIDTHS_OF_RULES = [360, 800];
// Letters on paper are read at arm's length: 9 pt are 12 px of a browser.
const LEAST_PX = 12;
const FLAGS = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync",
];
const written = mkdtempSync(join(tmpdir(), "sheets-"));
const faults = [];
let sheets = 0;

/** Runs the program; an exit code that tells how a plan stands is no failure. */
function kentledge(...args) {
  try {
    return execFileSync(program, [...args, "--quiet", "--time", "20"], { encoding: "utf8" });
  } catch (failed) {
    if ([1, 4].includes(failed.status)) return failed.stdout;
    throw failed;
  }
}

/** How many drivers a scenario has: one alone swaps with nobody. */
function driversOf(source) {
  return JSON.parse(kentledge("check", source, "--json")).needs.length;
}

function says(source, what) {
  return what.test(readFileSync(source, "utf8"));
}

/** What must be readable on the sheet: names as they stand in the document, masses to the gram. */
function wanted(document) {
  const drivers = document.drivers ?? [];
  const placed = [document, ...drivers, ...(document.cases ?? [])].flatMap((of) => of.placements ?? []);
  const placements = placed.flatMap(({ mount, piece }) => [mount, piece]);
  const aboard = (document.aboard?.lead ?? []).flatMap(({ mount, piece }) => [mount, piece]);
  const named = [...drivers, ...(document.regions ?? []), ...(document.cases ?? []), document].map(({ driver }) => driver);
  return [...placements, ...aboard, ...named, document.kart, document.class].filter(Boolean);
}

/** Sideways scrolling, small boxes, texts of a drawing outside of it, over each other or over a wheel. */
function layoutFaults() {
  const found = [];
  const root = globalThis.document.documentElement;
  if (root.scrollWidth > root.clientWidth) found.push(`scrolls sideways: ${root.scrollWidth} px`);
  for (const box of globalThis.document.querySelectorAll("input")) {
    const { width, height } = box.getBoundingClientRect();
    if (Math.min(width, height) < 24) found.push(`a box to tick of ${width} x ${height} px`);
  }
  for (const svg of globalThis.document.querySelectorAll("svg")) {
    const frame = svg.getBoundingClientRect();
    const boxes = [...svg.querySelectorAll("text")].map((text) => [text.textContent, text.getBoundingClientRect()]);
    for (const [text, box] of boxes) {
      const inside = box.left >= frame.left - 1 && box.right <= frame.right + 1 &&
        box.top >= frame.top - 1 && box.bottom <= frame.bottom + 1;
      if (!inside) found.push(`"${text}" leaves the drawing`);
    }
    for (const wheel of svg.querySelectorAll(".tyre")) {
      const tyre = wheel.getBoundingClientRect();
      for (const [text, box] of boxes) {
        const wide = Math.min(tyre.right, box.right) - Math.max(tyre.left, box.left);
        const high = Math.min(tyre.bottom, box.bottom) - Math.max(tyre.top, box.top);
        if (wide > 1 && high > box.height / 3) found.push(`"${text}" lies over a wheel`);
      }
    }
    boxes.forEach(([one, a], index) => boxes.slice(index + 1).forEach(([other, b]) => {
      const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      // Boxes have room above and below the letters; a third of a line may be shared.
      if (wide > 1 && high > a.height / 3) found.push(`"${one}" lies over "${other}"`);
    }));
  }
  return found;
}

/** Pages of a PDF, as its tree of pages counts them. */
function pagesOf(pdf) {
  const counts = [...pdf.toString("latin1").matchAll(/\/Type\s*\/Pages[^>]*?\/Count\s+(\d+)/g)];
  return Math.max(...counts.map((match) => Number(match[1])));
}

async function look(browser, file, document) {
  const note = (fault) => faults.push(`${basename(file)}: ${fault}`);
  const url = pathToFileURL(file).href;
  for (const colorScheme of ["light", "dark"]) {
    // Where things stand does not depend on colours.
    for (const width of colorScheme === "light" ? WIDTHS : WIDTHS_OF_RULES) {
      const page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme });
      page.on("console", (message) => note(`console ${message.type()}: ${message.text()}`));
      page.on("pageerror", (error) => note(`page error: ${error.message}`));
      page.on("request", (request) => request.url() === url || note(`asks for ${request.url()}`));
      await page.goto(url);
      for (const fault of await page.evaluate(layoutFaults)) note(`${width} px: ${fault}`);
      if (WIDTHS_OF_RULES.includes(width)) {
        await page.evaluate(axe);
        const { violations } = await page.evaluate(() => globalThis.axe.run());
        for (const { id, nodes } of violations) {
          note(`${width} px, ${colorScheme}: ${id}: ${nodes.map((node) => node.html).slice(0, 3).join(" | ")}`);
        }
      }
      if (width === WIDTHS_OF_RULES[0] && colorScheme === "light") await read(page, document, note);
      await page.close();
    }
  }
}

/**
 * What ends in the last pixel of a paper's width: 190 mm, A4 less its margins, are 718.1 pixels. The browser lays out 720 of a
 * sheet made for them and cuts off what is beyond 719, with it the right side of every box that fills the width.
 */
async function onPaper(page) {
  const before = page.viewportSize();
  await page.emulateMedia({ media: "print" });
  await page.setViewportSize({ width: 720, height: 1000 });
  const found = await page.evaluate(() => [...globalThis.document.body.querySelectorAll("*")]
    .filter((element) => element.getBoundingClientRect().right > 719.05)
    .map((element) => `ends where A4 is cut off: <${element.nodeName.toLowerCase()} class="${element.className}">`));
  const faint = await page.evaluate(readable, LEAST_PX);
  await page.emulateMedia({ media: null });
  await page.setViewportSize(before);
  return [...new Set(found)].slice(0, 3).concat([...new Set(faint)].slice(0, 5));
}

/** Letters that are too small or too faint on paper, those of drawings as they are scaled. */
function readable(leastPx) {
  // Relative luminance and contrast as in WCAG 2.2; paper is white, and a printer has no colour.
  const linear = (part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4);
  const contrastToWhite = (colour) => {
    const [red, green, blue] = colour.match(/[\d.]+/g).map((part) => linear(Number(part) / 255));
    return 1.05 / (0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05);
  };
  const found = [];
  const walker = globalThis.document.createTreeWalker(globalThis.document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const element = node.parentElement;
    if (!node.textContent.trim() || element.closest("title, desc, style") || !element.getClientRects().length) continue;
    const style = getComputedStyle(element);
    const matrix = element.ownerSVGElement ? element.getScreenCTM() : { a: 1, b: 0 };
    const size = parseFloat(style.fontSize) * Math.hypot(matrix.a, matrix.b);
    const words = node.textContent.trim().slice(0, 30);
    if (size < leastPx - 0.05) found.push(`"${words}" is printed at ${(size * 0.75).toFixed(1)} pt`);
    const onBlack = element.closest(".numeral")?.querySelector(".disc");
    const colour = element.ownerSVGElement ? style.fill : style.color;
    if (!onBlack && contrastToWhite(colour) < 4.5) found.push(`"${words}" is printed too faint: ${colour}`);
  }
  return found;
}

/** The text, and the same on paper. */
async function read(page, document, note) {
  const squeezed = (text) => text.replace(/\s+/g, " ");
  const text = squeezed(await page.evaluate(() => globalThis.document.body.innerText));
  for (const name of wanted(document)) {
    if (!text.includes(squeezed(name.replaceAll("_", " ")))) note(`does not say "${name}"`);
  }
  const placed = [document, ...(document.drivers ?? [])].flatMap((of) => of.placements ?? []);
  for (const { each_kg: kg, piece } of placed) {
    const [number, unit] = document.display_units === "lb-in" ? [kg / KG_PER_LB, "lb"] : [kg, "kg"];
    const shortest = String(Number(number.toFixed(3))).replace(".", "\\.");
    const said = new RegExp(`(^|[^\\d.])${shortest}(\\.?0*)? ${unit}`);
    if (!said.test(text)) note(`does not say how heavy "${piece}" is`);
  }
  for (const fault of await onPaper(page)) note(fault);
  const drivers = await page.evaluate(() => globalThis.document.querySelectorAll(".page").length);
  for (const format of ["A4", "Letter"]) {
    const pages = pagesOf(await page.pdf({ format, preferCSSPageSize: true }));
    const mayGoOn = ON_MORE_SIDES.some((name) => basename(page.url()).startsWith(name));
    if (pages !== drivers && !mayGoOn) note(`${format}: ${pages} pages for ${drivers} sheet(s)`);
  }
}

/** The drawing alone: well-formed, nothing outside, no request. */
async function lookAtDrawing(browser, file) {
  const note = (fault) => faults.push(`${basename(file)}: ${fault}`);
  const page = await browser.newPage({ viewport: { width: 800, height: 900 } });
  const url = pathToFileURL(file).href;
  page.on("console", (message) => note(`console ${message.type()}: ${message.text()}`));
  page.on("request", (request) => request.url() === url || note(`asks for ${request.url()}`));
  await page.goto(url);
  const root = await page.evaluate(() => globalThis.document.documentElement.nodeName);
  if (root !== "svg") note(`is shown as ${root}`);
  if (await page.evaluate(() => globalThis.document.querySelector("parsererror") !== null)) note("is not well-formed");
  await page.close();
}

/** A scenario with so many mounts and as many jobs; its names are as long as a name may be, one of them from right to left. */
function crowded(mounts, long) {
  const who = long ? "סם ארוך מאוד" : "Jo";
  const lines = Array.from({ length: mounts }, (_, index) => {
    const name = long ? `place ${index} on the rail behind the seat where the box of the old battery stood`.padEnd(80, "x") : `place_${index}`;
    const side = (index % 2 ? -1 : 1) * (60 + (index * 53) % 240);
    return `  "${name}": {x: ${100 + (index * 37) % 800}, y: ${side}, capacity: 1.1}`;
  });
  const file = join(written, `crowded-${mounts}.yaml`);
  writeFileSync(file, `units: kg
kart: {wheelbase: 1040, track_front: 1080, track_rear: 1120}
class: {minimum: ${(147.4 + mounts).toFixed(1)}, margin: 0.3}
targets: {front: {aim: 43, within: 3}, left: {aim: 50, within: 3}}
weighing: {scales: [30.6, 31.7, 42, 44], aboard: {driver: "${who}", lead: none}}
drivers: {"${who}": 70}
mounts:
${lines.join("\n")}
lead: [${Array(mounts).fill(1).join(", ")}]
`);
  return file;
}

/** A kart that nobody sat on when it was weighed. */
function unmanned() {
  const file = join(written, "unmanned.yaml");
  writeFileSync(file, `units: kg
kart: {wheelbase: 1040, track_front: 1080, track_rear: 1120}
class: {minimum: 155, margin: 0.3}
targets: {front: {aim: 43, within: 1}, left: {aim: 50, within: 1}}
weighings:
  - {scales: [16.5, 17.7, 22.2, 24.7], aboard: {driver: none, lead: none}}
  - {scales: [16.9, 17.8, 23.6, 24.9], aboard: {driver: none, lead: {seat: {slab: 1}}}, for: learn}
mounts: {seat: {x: 260, y: 215, capacity: 5}, floor: {x: 820, y: -60, capacity: 5}}
drivers: {Jo: 70}
lead: {slab: {mass: 2, count: 2}, puck: {mass: 1, count: 2}}
`);
  return file;
}

/** A team on a trip with a season behind it, and every name as long as a name may be or from right to left. */
function named() {
  const long = (what) => `${what} that somebody wrote down with all that he knew of it, lest it be confused`.padEnd(80, "x").slice(0, 80);
  const hebrew = "\u05e1\u05dd \u05d0\u05e8\u05d5\u05da \u05de\u05d0\u05d5\u05d3 ".repeat(6).slice(0, 79).trim();
  const [first, tray, other, floor, slab] = ["driver", "tray", "other tray", "floor", "slab"].map(long);
  const file = join(written, `${NAMED}.yaml`);
  writeFileSync(file, `units: kg
kart: {name: "${long("kart")}", wheelbase: 1040, track_front: 1080, track_rear: 1120}
class: {name: "${long("class")}", minimum: 160, margin: 0.5}
targets: {front: {aim: 43, within: 1.5}, left: {aim: 50, within: 1.5}}
weighings:
  - {date: 2026-03-14, scales: [31.6, 31.7, 42, 44], aboard: {driver: "${first}", lead: none}}
  - {date: 2026-04-11, scales: [16.4, 17.6, 22.1, 24.2], aboard: {driver: none, lead: none}, for: learn}
  - {date: 2026-05-02, scales: [32.1, 32.1, 43.2, 45], aboard: {driver: "${first}", lead: {"${tray}": {"${slab}": 1}}}}
drivers: {"${first}": 69, "${hebrew}": 66}
driver: "${first}"
pit: {order: ["${first}", "${hebrew}", "${first}"]}
mounts:
  "${tray}": {x: 330, y: 230, capacity: 8, quick: true}
  "${other}": {x: 330, y: -230, capacity: 8, quick: true}
  "${floor}": {x: 820, y: 60, capacity: 10}
lead:
  "${slab}": {mass: 3, count: 6}
  "${hebrew}": {mass: 1, count: 6}
trip:
  classes: {"${long("class")}": {minimum: 160}, "${hebrew}": {minimum: 164}}
  buy: {"${long("bar")}": {mass: 2, most: 2}}
`);
  return file;
}

// Ten jobs have one side; more of them, under names of 80 letters, as many as they need.
const FORTY = 40;
const NAMED = "named";
const ON_MORE_SIDES = [`crowded-${FORTY}`, NAMED];
const shipped = readdirSync("scenarios").filter((name) => name.endsWith(".yaml")).map((name) => join("scenarios", name));
const sources = [...shipped, crowded(10, false), crowded(FORTY, true), unmanned(), named()];
const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: FLAGS });
try {
  for (const source of sources) {
    const scenario = basename(source);
    const plan = JSON.parse(kentledge("plan", source, "--json"));
    for (const command of COMMANDS) {
      if (command === "swap" && driversOf(source) < 2) continue;
      if (command === "pack" && !says(source, /^trip:/m)) continue;
      if (command === "learn" && !says(source, /for: learn/)) continue;
      if (FROM_A_PLAN.includes(command) && plan.status === "no legal plan") continue;
      const [sheet, drawing] = ["html", "svg"].map((end) => join(written, `${basename(scenario, ".yaml")}.${command}.${end}`));
      const draws = !WITHOUT_DRAWING.includes(command);
      const others = [...(draws ? ["--drawing", drawing] : []), ...(command === "reach" ? ["--all-drivers"] : [])];
      const document = JSON.parse(kentledge(command, source, "--json", "--sheet", sheet, ...others));
      await look(browser, sheet, document);
      if (draws) await lookAtDrawing(browser, drawing);
      sheets += 1;
    }
  }
  const blank = join(written, "blank.html");
  await look(browser, blank, JSON.parse(kentledge("weigh", "--howto", "--json", "--sheet", blank)));
  sheets += 1;
} finally {
  await browser.close();
  rmSync(written, { recursive: true });
}
faults.forEach((fault) => console.log(fault));
console.log(`${sheets} sheets at ${WIDTHS.join(", ")} px and on paper: ${faults.length} faults`);
process.exit(faults.length === 0 && sheets > 0 ? 0 : 1);
