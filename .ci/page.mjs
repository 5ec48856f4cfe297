// The page for a phone in a real browser: typed in, planned, ticked, kept, saved and opened again, from a file and without network.
// Takes the folder where playwright-core and axe-core are installed, and the program with the page in it; says what is wrong.
// What is right comes from the program's own commands, never from the page.
//
//   node .ci/page.mjs FOLDER PROGRAM

import { execFileSync, spawn } from "node:child_process";
import { createServer } from "node:http";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [folder, program] = process.argv.slice(2).map((path) => resolve(path));
const only = process.argv[4];
const require = createRequire(join(folder, "package.json"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const FLAGS = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync",
];
const WIDTHS = [320, 360, 667, 800, 1600];
const MOST_BYTES = 3_000_000;
const work = mkdtempSync(join(tmpdir(), "page-"));
const faults = [];
let looks = 0;

function kentledge(...args) {
  try {
    return execFileSync(program, [...args, "--quiet"], { encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });
  } catch (failed) {
    if ([1, 4].includes(failed.status)) return failed.stdout;
    throw failed;
  }
}

const json = (...args) => JSON.parse(kentledge(...args, "--json", "--time", "60"));

function made(source, name = basename(source, ".yaml")) {
  const file = join(work, `${name}.html`);
  kentledge("page", source, "-o", file, "--time", "20");
  return file;
}

/** A window of its own, which may ask for nothing but the page itself; what it complains of is a fault. */
async function opened(browser, file, { note, init, ...options } = {}) {
  const context = await browser.newContext({ viewport: { width: 360, height: 740 }, acceptDownloads: true, ...options });
  if (init) await context.addInitScript(init);
  const page = await context.newPage();
  const url = file.startsWith("http") ? file : pathToFileURL(file).href;
  const say = note ?? ((fault) => faults.push(`${basename(file)}: ${fault}`));
  page.on("console", (message) => say(`console ${message.type()}: ${message.text()}`));
  page.on("pageerror", (error) => say(`page error: ${error.message}`));
  page.on("request", (request) => request.url() === url || /^(blob|data):/.test(request.url()) || say(`asks for ${request.url()}`));
  await page.goto(url);
  if (options.javaScriptEnabled !== false) await page.waitForSelector("#tool:not([hidden]) nav", { timeout: 30_000 });
  page.say = say;
  return page;
}

/** Waits until something is true on the page: by looking again, as its policy forbids what the driver would do. */
async function until(page, what, most = 30_000) {
  for (const end = Date.now() + most; Date.now() < end; await new Promise((soon) => setTimeout(soon, 25))) {
    if (await page.evaluate(what).catch(() => false)) return;
  }
  throw new Error(`never: ${what}`);
}

const tab = (page, name) => page.locator("#tool nav button", { hasText: new RegExp(`^${name}( \\d+)?$`) }).click();
const idle = (page) => until(page, "!searching", 120_000);

async function planned(page) {
  await tab(page, "Jobs");
  const plan = page.locator("button.main", { hasText: /^Plan$/ });
  if (await plan.count()) await plan.click();
  await until(page, "!searching && state.plan", 120_000);
}

const document_ = (page) => page.evaluate("state.plan.document");

/** Of a plan what any machine must find alike. */
function told(document) {
  const { status, exit_code, legal, on_target, goals, placements, adjusters, changes, total_kg, corners_kg, residuals } = document;
  const bare = (adjusters ?? []).map(({ adjuster, planned: to }) => [adjuster, to]);
  return JSON.stringify({ status, exit_code, legal, on_target, goals, placements, bare, changes, total_kg, corners_kg, residuals });
}

function expect(is, fault) {
  looks += 1;
  if (!is) faults.push(fault);
}

async function layout(page, what) {
  for (const width of WIDTHS) {
    await page.setViewportSize({ width, height: 740 });
    for (const fault of await page.evaluate(() => {
      const found = [];
      const root = document.documentElement;
      if (root.scrollWidth > root.clientWidth) found.push(`scrolls sideways: ${root.scrollWidth} px`);
      for (const at of document.querySelectorAll("#tool button, #tool input, #tool textarea, #tool .chips span")) {
        const { width: wide, height } = at.getBoundingClientRect();
        if (Math.min(wide, height) < 43.9 && at.getClientRects().length) found.push(`${at.tagName} "${at.textContent || at.id}" of ${wide} x ${height} px`);
      }
      return found;
    })) page.say(`${what}, ${width} px: ${fault}`);
    looks += 1;
  }
  await page.setViewportSize({ width: 360, height: 740 });
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    await page.evaluate(axe);
    const { violations } = await page.evaluate(() => globalThis.axe.run());
    for (const { id, nodes } of violations) page.say(`${what}, ${colorScheme}: ${id}: ${nodes.map((node) => node.html).slice(0, 2).join(" | ")}`);
  }
  await page.emulateMedia({ colorScheme: "light" });
}

async function type(page, readings, first = 0) {
  for (const [index, reading] of readings.entries()) await page.locator(`#f${first + index}`).fill(String(reading));
}

const CHECKS = {
  async "every scenario plans as the command line does"(browser) {
    for (const name of readdirSync("scenarios").filter((one) => one.endsWith(".yaml"))) {
      const source = join("scenarios", name);
      const file = made(source);
      expect(statSync(file).size <= MOST_BYTES, `${name}: ${statSync(file).size} bytes`);
      const page = await opened(browser, file);
      await planned(page);
      const [ours, theirs] = [told(await document_(page)), told(json("plan", source))];
      expect(ours === theirs, `${name}: plans otherwise than the command line\n${ours}\n${theirs}`);
      for (const command of ["swap", "card", "log"]) {
        // As long as both need: what is compared is what they find, not how soon.
        const asks = command === "log" ? command : { [command]: { seconds: 60 } };
        const reply = await page.evaluate((what) => search.ask(request(what), "test"), asks);
        if (reply.is !== "page") {
          expect(reply.said.length > 10, `${name}: ${command} says nothing`);
          continue;
        }
        const theirs = json(command, source);
        const bare = ({ legal, goals, drivers, cells, weighings }) => JSON.stringify({
          legal, goals, weighings, cells,
          drivers: drivers?.map(({ driver, placements, total_kg }) => [driver, placements, total_kg]),
        });
        expect(bare(reply.document) === bare(theirs), `${name}: ${command} is otherwise than the command line`);
      }
      await page.context().close();
    }
  },

  async "every part at every width"(browser) {
    const page = await opened(browser, made("scenarios/odd-names.yaml"));
    await type(page, [31, 32, 43, 45]);
    await until(page, "document.querySelector('#live').innerHTML");
    await layout(page, "Pads");
    await planned(page);
    await layout(page, "Jobs");
    await tab(page, "Pads again");
    await type(page, [34, 35, 44, 46]);
    await layout(page, "Pads again");
    await tab(page, "More");
    await layout(page, "More");
    for (const button of ["Drivers and stops", "Tuning card", "Log", "Kart and file"]) {
      await page.locator(".menu button", { hasText: button }).click();
      await until(page, "!document.querySelector('.read .wait')", 60_000);
      await layout(page, button);
    }
    await page.context().close();
  },

  async "what is typed moves the strips at once"(browser) {
    const page = await opened(browser, made("scenarios/club-sprint.yaml"));
    await planned(page);
    await tab(page, "Pads");
    await type(page, ["30,8", "31.4", "42.3", "44.5"]);
    await until(page, "document.querySelector('#live .strip')");
    const comma = await page.locator("#live").innerHTML();
    expect(/older than these readings/.test(comma), "the plan is not marked as old");
    await type(page, ["30.8"]);
    await page.waitForTimeout(300);
    expect((await page.locator("#live").innerHTML()) === comma, "a comma is not a point");
    const times = [];
    for (let tenth = 1; tenth <= 20; tenth += 1) {
      times.push(await page.evaluate((reading) => new Promise((done) => {
        const began = performance.now();
        new MutationObserver((_, observer) => {
          observer.disconnect();
          done(performance.now() - began);
        }).observe(document.getElementById("live"), { childList: true, subtree: true });
        const input = document.getElementById("f0");
        input.value = reading;
        input.dispatchEvent(new Event("input"));
      }), (30 + tenth / 10).toFixed(1)));
    }
    const median = times.sort((one, other) => one - other)[10];
    console.log(`strips after ${median.toFixed(0)} ms (median of 20)`);
    expect(median <= 100, `strips take ${median} ms`);
    await type(page, ["stone"]);
    await until(page, "document.querySelector('#f0-said').textContent");
    expect((await page.locator("#f0").getAttribute("aria-invalid")) === "true", "nonsense is not refused at its field");
    await page.context().close();
  },

  async "what cannot be done is planned round"(browser) {
    for (const name of ["club-sprint", "seat-and-spacers", "two-drivers"]) {
      const source = join("scenarios", `${name}.yaml`);
      const file = made(source);
      const first = await opened(browser, file);
      await planned(first);
      const jobs = await first.evaluate("state.plan.jobs.map((job) => job.at)");
      await first.context().close();
      for (const [index, at] of jobs.entries()) {
        if (!at) continue;
        const page = await opened(browser, file);
        await planned(page);
        // Something that is ticked before is on the kart from then on.
        const ticked = jobs.findIndex((one, other) => one && other !== index);
        if (ticked >= 0) {
          await page.locator(".jobs li").nth(ticked).locator("input").check();
          await until(page, "document.querySelector('#standing').textContent");
        }
        await page.locator(".jobs li").nth(index).locator(".cannot").click();
        await idle(page);
        const text = await page.evaluate("state.text");
        const again = join(work, "again.yaml");
        const names = await page.evaluate("({mounts: kart.mounts, adjusters: kart.adjusters})");
        let options = [];
        let locked = text;
        if (at.mount !== undefined) {
          const mount = names.mounts[at.mount];
          locked = text.replace(new RegExp(`^(  ${mount}: *\\{)`, "m"), "$1locked: true, ");
          expect(locked !== text, `${name}: ${mount} was not locked`);
        } else {
          options = ["--only", ["lead", ...names.adjusters.filter((_, one) => one !== at.adjuster)].join(",")];
        }
        writeFileSync(again, locked);
        const theirs = json("plan", again, ...options);
        const ours = await document_(page);
        expect(told(ours) === told(theirs), `${name}: job ${index + 1} cannot be done: otherwise than the command line`);
        if (ticked >= 0) {
          const mount = names.mounts[jobs[ticked].mount];
          expect(!mount || new RegExp(`^  ${mount}:`, "m").test(text.slice(text.indexOf("fitted:"))), `${name}: ${mount} is not fitted though it is ticked`);
        }
        await page.context().close();
      }
    }
  },

  async "how it stands is what the judge says"(browser) {
    for (const name of ["club-sprint", "off-target", "oval"]) {
      const source = join("scenarios", `${name}.yaml`);
      const page = await opened(browser, made(source));
      await planned(page);
      const { stops } = json("plan", source);
      const jobs = await page.evaluate("state.plan.jobs.filter((job) => job.at).length");
      expect(stops.length === jobs, `${name}: ${jobs} jobs, ${stops.length} stops`);
      for (const [index, stop] of stops.entries()) {
        const reply = await page.evaluate((done) =>
          quick.ask(request("stand", { bolted: bolted(places().slice(0, done)) }), "test"), index + 1);
        const near = (one, other) => Math.abs(one - other) < 0.006;
        expect(near(reply.total_kg, stop.total_kg) && near(reply.front_percent, stop.front_percent) && near(reply.left_percent, stop.left_percent),
          `${name}: after job ${index + 1} ${JSON.stringify(reply)}, not ${JSON.stringify(stop)}`);
      }
      await page.context().close();
    }
  },

  async "ticks are kept, and a saved copy opens elsewhere"(browser) {
    const file = made("scenarios/club-sprint.yaml");
    const page = await opened(browser, file);
    await planned(page);
    await page.locator(".jobs input").first().check();
    await until(page, "document.querySelector('#standing').textContent");
    await page.reload();
    await page.waitForSelector(".jobs input");
    await until(page, "state.plan && !searching && state.done.length > 0").catch(() => {});
    expect(await page.locator(".jobs input").first().isChecked(), "a tick is lost on reload");
    const other = await page.context().newPage();
    await other.goto(pathToFileURL(made("scenarios/oval.yaml")).href);
    await other.waitForSelector("#tool:not([hidden]) nav");
    expect((await other.evaluate("state.done.length")) === 0, "another kart has this one's ticks");
    await other.close();
    await tab(page, "More");
    const saving = page.waitForEvent("download");
    await page.locator("#save").click();
    const copy = join(work, "copy.html");
    await (await saving).saveAs(copy);
    const before = await page.evaluate("JSON.stringify([state.text, state.done])");
    const fresh = await opened(browser, copy);
    await until(fresh, "state.plan && !searching && state.done.length > 0").catch(() => {});
    expect((await fresh.evaluate("JSON.stringify([state.text, state.done])")) === before, "a saved copy has another state");
    const yaml = join(work, "saved.yaml");
    writeFileSync(yaml, await fresh.evaluate("state.text"));
    json("plan", yaml);
    await tab(fresh, "More");
    for (const [name, text] of [["no.yaml", "this is no kart"], ["torn.html", "<!DOCTYPE html><p>torn"]]) {
      writeFileSync(join(work, name), text);
      await fresh.locator("#open").setInputFiles(join(work, name));
      await until(fresh, "document.querySelector('#notice').textContent");
      expect((await fresh.evaluate("JSON.stringify([state.text, state.done])")) === before, `${name} changed something`);
      await fresh.evaluate("say('')");
    }
    await fresh.locator("#open").setInputFiles(resolve("scenarios/oval.yaml"));
    await until(fresh, "state.text.includes('oval') || kart.name !== 'kart 7'");
    await fresh.context().close();
    await page.context().close();
  },

  async "what phone and file have both changed is shown, and neither lost"(browser) {
    const text = readFileSync("scenarios/club-sprint.yaml", "utf8");
    const page = await opened(browser, made("scenarios/club-sprint.yaml"));
    await tab(page, "More");
    await page.locator(".menu button", { hasText: "Kart and file" }).click();
    await page.locator("textarea").fill(text.replace("minimum: 160", "minimum: 161"));
    await page.locator("button", { hasText: "Take this file" }).click();
    await until(page, "state.text.includes('minimum: 161')");
    await page.locator("textarea").fill(text.replace("minimum: 160", "minimum: heavy"));
    await page.locator("button", { hasText: "Take this file" }).click();
    await until(page, "document.querySelector('[role=alert]').textContent.includes('heavy')");
    expect(await page.evaluate("state.text.includes('minimum: 161')"), "a file that is wrong was taken");
    const changed = join(work, "changed.yaml");
    writeFileSync(changed, text.replace("minimum: 160", "minimum: 162"));
    const other = await page.context().newPage();
    await other.goto(pathToFileURL(made(changed)).href);
    await until(other, "document.querySelector('#tool h1')?.textContent === 'Two states of this kart'");
    const shown = await other.locator("#tool").innerText();
    expect(shown.includes("minimum: 161") && shown.includes("minimum: 162"), "not both states are shown");
    await other.locator("button", { hasText: "Go on with this" }).first().click();
    await until(other, "state.text.includes('minimum: 161') && document.querySelector('#tool nav')");
    await page.context().close();
  },

  async "the keyboard alone suffices"(browser) {
    const page = await opened(browser, made("scenarios/club-sprint.yaml"));
    const reach = async (what) => {
      for (let presses = 0; presses < 80; presses += 1) {
        if (await page.evaluate(`document.activeElement.matches(${JSON.stringify(what)})`)) return;
        await page.keyboard.press("Tab");
      }
      throw new Error(`${what} is not reached`);
    };
    await reach("#f0");
    for (const reading of ["31", "32", "43", "44.5"]) {
      await page.keyboard.type(reading);
      await page.keyboard.press("Enter");
    }
    await until(page, "document.querySelector('#live .strip')");
    await reach("#go");
    await page.keyboard.press("Enter");
    await until(page, "state.plan && !searching", 60_000);
    await reach(".jobs input");
    await page.keyboard.press("Space");
    await until(page, "state.done.length === 1");
    await reach(".cannot");
    await page.context().close();
  },

  async "works without a store"(browser) {
    const page = await opened(browser, made("scenarios/club-sprint.yaml"), {
      init: () => Object.defineProperty(globalThis, "localStorage", { get() { throw new Error("no store"); } }),
    });
    await planned(page);
    await page.locator(".jobs input").first().check();
    expect(/keeps nothing/.test(await page.locator("#notice").textContent()), "nobody says that nothing is kept");
    await page.context().close();
  },

  async "a long search can be stopped and disturbs nobody"(browser) {
    const hard = join(work, "hard.yaml");
    writeFileSync(hard, hardKart());
    const page = await opened(browser, made(hard));
    await tab(page, "Jobs");
    await page.locator("button.main", { hasText: /^Plan$/ }).click();
    await until(page, "state.plan", 60_000);
    expect(await page.evaluate("searching"), "the search was over before anybody could stop it");
    await tab(page, "Pads");
    const began = Date.now();
    await type(page, [31, 32, 43, 45]);
    await until(page, "document.querySelector('#live').innerHTML");
    expect(Date.now() - began < 1500, `typing waits ${Date.now() - began} ms`);
    await tab(page, "Jobs");
    await page.locator("button", { hasText: /^Stop$/ }).click();
    await idle(page);
    expect((await page.evaluate("state.plan.jobs.length")) > 0, "there is no best so far");
    await page.context().close();
  },

  async "a piece on another mount is named"(browser) {
    const source = "scenarios/club-sprint.yaml";
    const file = made(source);
    for (let trial = 0; trial < 5; trial += 1) {
      const page = await opened(browser, file);
      await planned(page);
      const plan = await document_(page);
      await tab(page, "Pads again");
      const expected = await page.evaluate("quick.ask(request('stand', {bolted: bolted(places())}), 'test').then((reply) => reply.expected)");
      await type(page, expected);
      await until(page, "document.querySelector('#live').innerHTML");
      const honest = await page.locator("#live").textContent();
      expect(!/likeliest slip/.test(honest), `trial ${trial}: honest readings are called a slip`);
      // The same kart with one piece somewhere else, by the program's own weighing of a plan that was changed by hand.
      const wrong = await page.evaluate((which) => {
        const lead = structuredClone(state.plan.planned.lead);
        const from = lead[which % lead.length];
        const to = kart.mounts.map((_, mount) => mount).filter((mount) => mount !== from[1])[which];
        lead[which % lead.length] = [from[0], to, from[2]];
        const others = places().concat([{ mount: to }]);
        const moved = { planned: { ...state.plan.planned, lead }, done: others };
        const words = (mount) => kart.mounts[mount].replaceAll("_", "[ _]");
        return quick.ask(request("stand", { bolted: moved }), "test")
          .then((reply) => ({ pads: reply.expected, named: `is on \u2018${words(to)}\u2019, not on \u2018${words(from[1])}\u2019` }));
      }, trial);
      await type(page, wrong.pads);
      await page.waitForTimeout(700);
      const said = await page.locator("#live").textContent();
      expect(new RegExp(wrong.named).test(said),
        `trial ${trial}: ${wrong.pads} instead of ${expected} of ${plan.total_kg}: not "${wrong.named}" but ${said.slice(0, 200)}`);
      await page.context().close();
    }
  },

  async "a hostile file is text and nothing else"(browser) {
    const names = ["<img src=x onerror=alert(1)>", "</script><script>alert(2)</script>", "\u202eleft-to-right"];
    const source = join(work, "hostile.yaml");
    writeFileSync(source, `units: kg
kart: {name: ${JSON.stringify(names[0])}, wheelbase: 1040, track_front: 1080, track_rear: 1120}
class: {name: ${JSON.stringify(names[1])}, minimum: 155, margin: 0.3}
targets: {front: {aim: 43, within: 2}, left: {aim: 50, within: 2}}
weighing: {scales: [30.6, 31.7, 42, 44], aboard: {driver: ${JSON.stringify(names[1])}, lead: none}, note: ${JSON.stringify(names[0])}}
drivers: {${JSON.stringify(names[1])}: 70}
mounts:
  ${JSON.stringify(names[0])}: {x: 300, y: 200, capacity: 5}
  ${JSON.stringify(names[2].replace("\u202e", "left</style>"))}: {x: 800, y: -60, capacity: 5}
lead: {${JSON.stringify(names[1])}: {mass: 2.5, count: 4}}
`);
    const page = await opened(browser, made(source));
    await page.evaluate("globalThis.alert = () => { throw new Error('something ran'); }");
    await planned(page);
    for (const one of ["Pads", "Jobs", "Pads again", "More"]) {
      await tab(page, one);
      await page.waitForTimeout(200);
      const strange = await page.evaluate(() => document.querySelectorAll("img, script:not([type]) ~ script, iframe, [onerror]").length);
      expect(strange === 0, `${one}: a name became an element`);
    }
    await tab(page, "Jobs");
    expect((await page.locator(".jobs").textContent()).includes("<img src=x onerror"), "a name is not shown as it is");
    await page.context().close();
  },

  async "reads and prints without scripts"(browser) {
    const file = made("scenarios/club-sprint.yaml");
    const page = await opened(browser, file, { javaScriptEnabled: false });
    expect(/LEGAL, on every target/.test(await page.locator("#sheet").innerText()), "the sheet cannot be read without scripts");
    await page.context().close();
    const running = await opened(browser, file);
    await planned(running);
    await running.emulateMedia({ media: "print" });
    await running.evaluate("dispatchEvent(new Event('beforeprint'))");
    expect(/If you stop after a job/.test(await running.locator("#sheet").innerText()), "the sheet does not print");
    await running.context().close();
  },

  async "the first plan is there in three seconds on a slow phone"(browser) {
    // Somebody who taps as soon as there is something to tap; times count from the opening.
    const init = () => new MutationObserver((_, observer) => {
      const button = (name) => [...document.querySelectorAll("#tool button")].find((one) => one.textContent === name);
      if (document.querySelector("#tool .jobs")) {
        observer.disconnect();
        globalThis.took = performance.now();
      } else (button("Plan") ?? (document.querySelector("#tool .act #go") ? button("Jobs") : null))?.click();
    }).observe(document, { childList: true, subtree: true });
    const page = await opened(browser, made("scenarios/club-sprint.yaml"), { init });
    await until(page, "globalThis.took");
    await page.evaluate("localStorage.clear()");
    const session = await page.context().newCDPSession(page);
    await session.send("Emulation.setCPUThrottlingRate", { rate: 6 });
    await page.reload();
    await until(page, "globalThis.took");
    const took = Math.round(await page.evaluate("globalThis.took"));
    console.log(`first plan ${took} ms after opening, processor throttled six times`);
    expect(took <= 3000, `the first plan takes ${took} ms`);
    await page.context().close();
  },

  async "installed from a host it works when the host is gone"(browser) {
    const site = join(work, "site");
    kentledge("page", "scenarios/club-sprint.yaml", "--site", site);
    const types = { html: "text/html", js: "text/javascript", webmanifest: "application/manifest+json", svg: "image/svg+xml" };
    const server = createServer((asked, reply) => {
      const name = asked.url === "/" ? "index.html" : asked.url.slice(1);
      if (!existsSync(join(site, name))) return reply.writeHead(404).end();
      reply.writeHead(200, { "content-type": types[name.split(".").pop()] }).end(readFileSync(join(site, name)));
    });
    await new Promise((done) => server.listen(0, "127.0.0.1", done));
    const url = `http://127.0.0.1:${server.address().port}/`;
    const own = (fault) => fault.startsWith(`asks for ${url}`) || faults.push(`site: ${fault}`);
    const page = await opened(browser, url, { note: own });
    await page.evaluate("navigator.serviceWorker.ready.then(() => true)");
    await until(page, "navigator.serviceWorker.controller", 20_000);
    server.closeAllConnections();
    await new Promise((done) => server.close(done));
    await page.reload();
    await page.waitForSelector("#tool:not([hidden]) nav", { timeout: 30_000 });
    await planned(page);
    expect(told(await document_(page)) === told(json("plan", "scenarios/club-sprint.yaml")), "the installed page plans otherwise");
    await page.context().close();
  },

  async "a laptop shows it to phones, and nothing else"(browser) {
    const child = spawn(program, ["page", "scenarios/club-sprint.yaml", "--serve"], { stdio: ["ignore", "pipe", "ignore"] });
    try {
      const address = await new Promise((done, failed) => {
        let said = "";
        child.stdout.on("data", (data) => {
          said += data;
          const found = /http:\/\/127\.0\.0\.1:\d+\/\w{12}/.exec(said);
          if (found && said.endsWith("\n")) done(found[0]);
        });
        child.once("exit", () => failed(new Error("it ends before it shows anything")));
      });
      const { origin } = new URL(address);
      const asked = async (url, options) => {
        const reply = await fetch(url, options);
        return [reply.status, (await reply.text()).length];
      };
      for (const url of [`${origin}/`, `${address}/`, `${address}x`, `${origin}/../etc/passwd`, `${origin}/index.html`]) {
        const [status, length] = await asked(url);
        expect(status === 404 && length < 100, `${url} answers ${status} with ${length} letters`);
      }
      for (const [method, body] of [["POST", "x"], ["PUT", "x"], ["DELETE", undefined], ["POST", "x".repeat(10_000_000)]]) {
        const [status, length] = await asked(address, { method, body }).catch(() => [405, 0]);
        expect(status === 405 && length < 100, `${method} answers ${status} with ${length} letters`);
      }
      const all = await Promise.all(Array.from({ length: 100 }, () => asked(address)));
      expect(all.every(([status, length]) => status === 200 && length === all[0][1] && length > 1e6), "not all of a hundred clients get the page");
      const page = await opened(browser, address);
      await planned(page);
      expect(told(await document_(page)) === told(json("plan", "scenarios/club-sprint.yaml")), "what is shown plans otherwise");
      await page.context().close();
    } finally {
      child.kill("SIGKILL");
    }
  },
};

/** Individually weighed lead on many mounts with four narrow targets: not proved in seconds. */
function hardKart() {
  const mounts = Array.from({ length: 16 }, (_, index) =>
    `  m${index}: {x: ${(index * 173) % 1000}, y: ${((index * 97) % 480) - 240}, capacity: 3.1, room: 45}`);
  const pieces = Array.from({ length: 30 }, (_, index) => (0.4 + ((index * 7919) % 1013) / 700).toFixed(3));
  return `units: kg
kart: {wheelbase: 1040, track_front: 1080, track_rear: 1120}
class: {minimum: 168, margin: 0.3}
targets: {front: {aim: 43.6, within: 0.02}, left: {aim: 50.9, within: 0.02}, cross: {aim: 50.2, within: 0.02}, front_pair: {aim: 0.1, within: 0.02}}
weighing: {scales: [30.6, 31.7, 42, 44], aboard: {driver: Jo, lead: none}}
drivers: {Jo: 70}
mounts:
${mounts.join("\n")}
lead: {bar: {weighed: [${pieces.join(", ")}], thickness: 14}}
`;
}

const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: FLAGS });
try {
  for (const [name, check] of Object.entries(CHECKS)) {
    if (only && !name.includes(only)) continue;
    const [before, began] = [faults.length, Date.now()];
    await check(browser).catch((error) => faults.push(`${name}: ${error.message.split("\n").slice(0, 3).join(" ")}`));
    console.log(`${faults.length === before ? "ok" : "FAILED"}: ${name} (${((Date.now() - began) / 1000).toFixed(0)} s)`);
  }
} finally {
  await browser.close();
  rmSync(work, { recursive: true });
}
const different = [...new Set(faults)];
different.forEach((fault) => console.log(fault));
console.log(`${looks} looks at the page: ${different.length} faults`);
process.exit(faults.length === 0 && looks > 0 ? 0 : 1);
