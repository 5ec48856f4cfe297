// The main road of the page in the engines of other browsers: typed, planned, ticked, saved, opened again, from files.
// Takes the folder where ws is installed, and the program with the page in it. Both browsers are driven by the protocols that the
// W3C has for it: WebDriver BiDi (Firefox) and WebDriver (WebKit).
//
//   node .ci/engines.mjs FOLDER PROGRAM

import { execFileSync, spawn } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [folder, program] = process.argv.slice(2).map((path) => resolve(path));
const WebSocket = createRequire(join(folder, "package.json"))("ws");
const work = mkdtempSync(join(tmpdir(), "engines-"));
const soon = (ms) => new Promise((done) => setTimeout(done, ms));
const faults = [];
let looks = 0;

/** Tries again while a browser is starting. */
async function patiently(what) {
  for (let tries = 0; ; tries += 1) {
    try {
      return await what();
    } catch (error) {
      if (tries > 150) throw error;
      await soon(200);
    }
  }
}

/** Firefox with a profile of its own: `open` a file, `run` an expression in it. */
async function firefox(port) {
  const profile = mkdtempSync(join(work, "firefox-"));
  const child = spawn("firefox-esr", ["--headless", "--no-remote", "--profile", profile, `--remote-debugging-port=${port}`],
    { stdio: "ignore", env: { ...process.env, HOME: profile } });
  const socket = await patiently(() => new Promise((done, failed) => {
    const tried = new WebSocket(`ws://127.0.0.1:${port}/session`);
    tried.once("open", () => done(tried)).once("error", failed);
  }));
  const waiting = new Map();
  socket.on("message", (data) => {
    const { id, result, error, message } = JSON.parse(data);
    const reply = waiting.get(id);
    waiting.delete(id);
    if (reply) error ? reply.failed(new Error(`${error}: ${message}`)) : reply.done(result);
  });
  let last = 0;
  const send = (method, params) => new Promise((done, failed) => {
    last += 1;
    waiting.set(last, { done, failed });
    socket.send(JSON.stringify({ id: last, method, params }));
  });
  await send("session.new", { capabilities: {} });
  const { contexts: [{ context }] } = await send("browsingContext.getTree", {});
  return {
    open: (file) => send("browsingContext.navigate", { context, url: pathToFileURL(file).href, wait: "complete" }),
    async run(expression) {
      const answer = await send("script.evaluate", { expression: `JSON.stringify(${expression})`, target: { context }, awaitPromise: true });
      if (answer.type === "exception") throw new Error(answer.exceptionDetails.text);
      return answer.result.value === undefined ? undefined : JSON.parse(answer.result.value);
    },
    async close() {
      child.kill();
      await soon(500);
    },
  };
}

/** WebKit on a screen that nobody sees. */
async function webkit(port) {
  const display = `:${port}`;
  const screen = spawn("Xvfb", [display, "-screen", "0", "800x900x24"], { stdio: "ignore" });
  await soon(1000);
  const home = mkdtempSync(join(work, "webkit-"));
  const child = spawn("WebKitWebDriver", [`--port=${port}`], {
    stdio: "ignore",
    env: { ...process.env, DISPLAY: display, HOME: home, XDG_DATA_HOME: home, XDG_CACHE_HOME: home, WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS: "1", LIBGL_ALWAYS_SOFTWARE: "1" },
  });
  const send = async (method, path, body) => {
    const reply = await fetch(`http://127.0.0.1:${port}${path}`, { method, body: body && JSON.stringify(body) });
    const { value } = await reply.json();
    if (value?.error) throw new Error(`${value.error}: ${value.message}`);
    return value;
  };
  const binary = execFileSync("sh", ["-c", "ls /usr/lib/*/webkit2gtk-4.*/MiniBrowser | tail -1"], { encoding: "utf8" }).trim();
  const { sessionId } = await patiently(() => send("POST", "/session", {
    capabilities: { alwaysMatch: { "webkitgtk:browserOptions": { binary, args: ["--automation"] } } },
  }));
  return {
    open: (file) => send("POST", `/session/${sessionId}/url`, { url: pathToFileURL(file).href }),
    run: async (expression) => {
      const text = await send("POST", `/session/${sessionId}/execute/sync`, { script: `return JSON.stringify(${expression})`, args: [] });
      return text === null ? undefined : JSON.parse(text);
    },
    async close() {
      await send("DELETE", `/session/${sessionId}`).catch(() => {});
      child.kill();
      screen.kill();
      await soon(500);
    },
  };
}

async function until(browser, what) {
  for (const end = Date.now() + 60_000; Date.now() < end; await soon(50)) {
    if (await browser.run(`Boolean(${what})`).catch(() => false)) return;
  }
  throw new Error(`never: ${what}`);
}

function expect(is, fault) {
  looks += 1;
  if (!is) faults.push(fault);
}

const click = (browser, what) => browser.run(`(${what}).click() ?? 0`);
const runs = (browser) => until(browser, "document.querySelector('#tool nav') && !document.querySelector('#tool').hidden");
const rests = (browser) => until(browser, "state.plan && !searching && document.querySelector('.jobs')");

/** Of a plan what every engine must find alike. */
const told = ({ goals, placements, changes, corners_kg }) => JSON.stringify({ goals, placements, changes, corners_kg });

async function road(name, started) {
  const file = join(work, `${name}.html`);
  execFileSync(program, ["page", "scenarios/club-sprint.yaml", "-o", file, "--quiet"]);
  const browser = await started();
  let saved;
  try {
    await browser.open(file);
    await runs(browser);
    for (const [index, reading] of ["31", "31,5", "42.4", "44.4"].entries()) {
      await browser.run(`(() => { const at = document.getElementById("f${index}"); at.value = "${reading}"; at.dispatchEvent(new Event("input")); return 0; })()`);
    }
    await until(browser, "document.querySelector('#live .strip')");
    await click(browser, "document.querySelector('#go')");
    await rests(browser);
    const yaml = join(work, `${name}.yaml`);
    writeFileSync(yaml, await browser.run("state.text"));
    const theirs = JSON.parse(execFileSync("sh", ["-c", `"${program}" plan "${yaml}" --json --quiet || [ $? -eq 1 ]`], { encoding: "utf8" }));
    expect(told(await browser.run("state.plan.document")) === told(theirs), `${name}: plans otherwise than the command line`);
    await click(browser, "document.querySelector('.jobs input')");
    await until(browser, "document.querySelector('#standing').textContent");
    expect((await browser.run("state.done.length")) === 1, `${name}: a job cannot be ticked`);
    saved = await browser.run("({ copy: copy(), state: JSON.stringify([state.text, state.done]) })");
    await browser.open(file);
    await runs(browser);
    await until(browser, "state.done.length === 1 && !searching");
    expect((await browser.run("JSON.stringify([state.text, state.done])")) === saved.state, `${name}: a tick is lost on reload`);
  } finally {
    await browser.close();
  }
  const copy = join(work, `${name}-copy.html`);
  writeFileSync(copy, saved.copy);
  const fresh = await started();
  try {
    await fresh.open(copy);
    await runs(fresh);
    await until(fresh, "state.done.length === 1 && !searching").catch(() => {});
    expect((await fresh.run("JSON.stringify([state.text, state.done])")) === saved.state, `${name}: a saved copy has another state`);
  } finally {
    await fresh.close();
  }
}

const ENGINES = { firefox: () => firefox(9310), webkit: () => webkit(9320) };
for (const [name, started] of Object.entries(ENGINES)) {
  const before = faults.length;
  await road(name, started).catch((error) => faults.push(`${name}: ${error.message}`));
  console.log(`${faults.length === before ? "ok" : "FAILED"}: ${name}`);
}
rmSync(work, { recursive: true, force: true });
faults.forEach((fault) => console.log(fault));
console.log(`${looks} looks in two engines: ${faults.length} faults`);
process.exit(faults.length === 0 && looks > 0 ? 0 : 1);
