// The page: what is typed, ticked and kept. What it means is worked out by the module, in a worker; its answers come as markup
// that is already safe. Everything from a file that is not in such an answer is put in as text.
"use strict";

const CORNERS = ["LF", "RF", "LR", "RR"];
const SECONDS = 5;
const tool = document.getElementById("tool");
const paper = document.getElementById("sheet");
const held = (id) => document.getElementById(id).textContent;

/** An element with properties and children; a child that is text stays text. */
function make(tag, properties = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (name === "class" || name.includes("-") || name === "for" || name === "role") element.setAttribute(name, value);
    else element[name] = value;
  }
  element.append(...children.filter((child) => child !== null && child !== undefined));
  return element;
}

const button = (text, onclick, properties = {}) => make("button", { type: "button", onclick, ...properties }, text);
const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);
const today = () => new Date(Date.now() - 60000 * new Date().getTimezoneOffset()).toISOString().slice(0, 10);

// --- The module -------------------------------------------------------------------------------------------------------------

let compiled, workerAddress;

async function start() {
  const letters = atob(held("module"));
  const packed = new Uint8Array(letters.length);
  for (let at = 0; at < letters.length; at += 1) packed[at] = letters.charCodeAt(at);
  const unpacked = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  compiled = await WebAssembly.compile(await new Response(unpacked).arrayBuffer());
  workerAddress = URL.createObjectURL(new Blob([JSON.parse(held("worker"))], { type: "text/javascript" }));
}

/** A worker that answers one request after the other. Of several that wait, only the last of a kind is asked. */
class Runner {
  #waiting = [];
  #running = null;
  #worker = null;

  /** Replies go to `told`; resolves with the last of them, or with nothing if it was stopped or overtaken. */
  ask(request, kind, told = () => {}) {
    return new Promise((resolve) => {
      this.#waiting = this.#waiting.filter((one) => one.kind !== kind || one.resolve());
      this.#waiting.push({ request, kind, told, resolve, last: undefined });
      this.#next();
    });
  }

  stop() {
    this.#worker?.terminate();
    this.#worker = null;
    const stopped = this.#running;
    this.#running = null;
    stopped?.resolve(stopped.last);
    this.#next();
  }

  #next() {
    if (this.#running || this.#waiting.length === 0) return;
    this.#worker ??= this.#made();
    this.#running = this.#waiting.shift();
    this.#worker.postMessage({ module: compiled, request: JSON.stringify(this.#running.request) });
  }

  #made() {
    const worker = new Worker(workerAddress);
    worker.onmessage = ({ data: { reply, ended, error } }) => {
      const running = this.#running;
      if (reply) {
        running.last = reply;
        running.told(reply);
      }
      if (!ended) return;
      this.#running = null;
      running.resolve(error && !running.last ? { is: "refused", said: error, help: "this is a fault of the program" } : running.last);
      this.#next();
    };
    return worker;
  }
}

const quick = new Runner();
const search = new Runner();

// --- What is known ----------------------------------------------------------------------------------------------------------

const noPads = () => ({ sets: [["", "", "", ""]], turned: null, driver: null, fuel: null, lead: null });
const fresh = (name, text) => ({
  name, text, base: text, pads: noPads(), again: noPads(), plan: null, done: [], leave: [], tab: "pads",
});

let state;
let kart;
let searching = false;
let notice = "";

const FRESH_KEYS = Object.keys(fresh("", ""));

/** What a file or a store holds, if it can be a state; whatever else is in it is left behind. */
function asState(found) {
  if (typeof found?.text !== "string") return null;
  const read = fresh(String(found.name ?? "kart.yaml"), found.text);
  const isPads = (pads) => Array.isArray(pads?.sets) && pads.sets.length > 0 &&
    pads.sets.every((set) => Array.isArray(set) && set.length === 4 && set.every((typed) => typeof typed === "string"));
  if (typeof found.base === "string") read.base = found.base;
  for (const key of ["pads", "again"]) if (isPads(found[key])) read[key] = { ...noPads(), ...found[key] };
  for (const key of ["done", "leave"]) if (Array.isArray(found[key])) read[key] = found[key];
  if (TABS.some(([tab]) => tab === found.tab)) read.tab = found.tab;
  // Markup of a plan is never taken from elsewhere: it is planned again.
  if (found.planned) read.planned = found.planned;
  return read;
}

/** What is worth keeping: of a plan that is not its markup. */
const kept = () => ({
  ...Object.fromEntries(FRESH_KEYS.filter((key) => key !== "plan").map((key) => [key, state[key]])),
  planned: state.plan && { text: state.plan.text, planned: state.plan.planned },
});

const drawer = () => `kentledge:${kart?.name ?? ""}`;
let storeFails = false;
const KEEPS_NOTHING = "This browser keeps nothing: save a copy before you close the page.";

function keep() {
  try {
    localStorage.setItem(drawer(), JSON.stringify(kept()));
  } catch {
    if (!storeFails) say(KEEPS_NOTHING);
    storeFails = true;
  }
}

function fromStore() {
  try {
    return asState(JSON.parse(localStorage.getItem(drawer())));
  } catch {
    return null;
  }
}

// --- Requests ---------------------------------------------------------------------------------------------------------------

const typed = (pads) => ({
  readings: pads.sets.flat(),
  driver: pads.driver ?? kart.driver ?? "none",
  fuel: kart.has_fuel ? pads.fuel ?? "start" : null,
  lead: pads.lead,
  turned: pads.turned,
  set_up: null,
  date: today(),
  note: null,
});
const isTyped = (pads) => pads.sets.flat().every((one) => one.trim() !== "");

/** The jobs that are done where the pads are asked again: those ticked, or all if none is. */
const places = () => state.plan.jobs.map((job) => job.at).filter(Boolean);
const bolted = (done) => (state.plan?.planned ? { planned: state.plan.planned, done } : null);
const boltedAgain = () => bolted(state.done.length > 0 ? state.done : places());
const request = (asks, more = {}) => ({ name: state.name, text: state.text, asks, ...more });

async function readKart(text = state.text, asks = "kart") {
  const reply = await quick.ask({ name: state.name, text, asks }, "kart");
  if (reply?.is === "kart") kart = reply;
  return reply;
}

/** Plans from the file, with what was bolted and typed since in it; that file is the one from then on. */
async function plan({ pads = null, done = null, leave = state.leave, seconds = SECONDS } = {}) {
  const more = { pads: pads && typed(pads), bolted: done && bolted(done) };
  searching = true;
  show();
  let changed = false;
  const told = (reply) => {
    if (reply.is !== "planned") return;
    if (!changed) {
      changed = true;
      Object.assign(state, { text: reply.text, pads: noPads(), again: noPads(), done: [], leave, tab: "jobs" });
    }
    state.plan = reply;
    show();
  };
  const reply = await search.ask(request({ plan: { leave, seconds } }, more), "plan", told);
  searching = false;
  if (reply && reply.is !== "planned") say(reply.said + (reply.help ? `: ${reply.help}` : ""));
  if (!reply) say("Stopped before anything was found.");
  await readKart();
  keep();
  show();
}

async function look(pads, isAgain) {
  const more = { pads: typed(pads), bolted: isAgain ? boltedAgain() : null };
  const reply = await quick.ask(request("look", more), isAgain ? "again" : "look");
  if (pads !== current()) return;
  if (reply?.is === "looked") showLooked(reply);
  else if (reply) say(reply.said);
}

async function stand() {
  const reply = await quick.ask(request("stand", { bolted: bolted(state.done) }), "stand");
  const at = document.getElementById("standing");
  if (reply?.is === "standing" && at) at.innerHTML = reply.html;
}

// --- What is seen -----------------------------------------------------------------------------------------------------------

const TABS = [["pads", "Pads"], ["jobs", "Jobs"], ["again", "Pads again"], ["more", "More"]];
const READ = [["swap", "Drivers and stops"], ["card", "Tuning card"], ["log", "Log"], ["how_to", "How to weigh"], ["kart", "Kart and file"]];
let focused = 0;
let reading = null;

function say(text) {
  notice = text;
  const at = document.getElementById("notice");
  if (at) at.replaceChildren(text, text ? button("Close", () => say(""), { class: "small" }) : "");
}

function show() {
  const body = { pads: showPads, jobs: showJobs, again: showAgain, more: showMore }[state.tab]();
  const tabs = TABS.map(([tab, name]) => {
    const count = tab === "jobs" && state.plan ? ` ${state.plan.jobs.length - state.done.length}` : "";
    return button(name + count, () => go(tab), { "aria-current": tab === state.tab ? "page" : "false" });
  });
  tool.replaceChildren(
    make("header", {}, make("h1", {}, make("bdi", {}, kart.name), " ", make("small", {}, make("bdi", {}, kart.class)))),
    make("p", { id: "notice", role: "status" }),
    ...body,
    make("nav", { "aria-label": "Parts" }, ...tabs),
  );
  say(notice);
}

function go(tab) {
  Object.assign(state, { tab });
  if (notice !== KEEPS_NOTHING) notice = "";
  reading = null;
  keep();
  show();
  scrollTo(0, 0);
}

function choice(name, label, choices, pads, key) {
  const chosen = pads[key] ?? choices[0][0];
  return make("div", { class: "chips", role: "radiogroup", "aria-label": label },
    ...choices.map(([value, text]) => make("label", {},
      make("input", {
        type: "radio", name, checked: value === chosen,
        onchange: () => { pads[key] = value; changed(pads); },
      }), make("span", {}, text))));
}

const current = () => (state.tab === "again" ? state.again : state.pads);

function changed(pads) {
  keep();
  look(pads, pads === state.again);
}

function fields(pads) {
  return pads.sets.map((set, index) => {
    const turned = pads.turned && index === pads.sets.length - 1;
    const legend = turned ? "Turned a quarter, by pad" : pads.sets.length > 1 ? `Set ${index + 1}` : "What the pads show";
    const inputs = set.map((value, corner) => {
      const id = `f${4 * index + corner}`;
      return make("div", { class: `field ${CORNERS[corner]}` },
        make("label", { for: id }, CORNERS[corner]),
        make("input", {
          id, value, autocomplete: "off", inputMode: matchMedia("(pointer: coarse)").matches ? "none" : "decimal",
          placeholder: state.tab === "pads" ? kart.weighed[corner] : "",
          "aria-describedby": `${id}-said`,
          onfocus: () => { focused = 4 * index + corner; },
          oninput: ({ target }) => { set[corner] = target.value; changed(pads); },
          onkeydown: (event) => { if (event.key === "Enter") { event.preventDefault(); next(); } },
        }),
        make("p", { id: `${id}-said`, class: "said" }));
    });
    const middle = make("div", { class: "outline" });
    middle.innerHTML = kart.outline;
    const side = turned ? choice("turned", "Turned to the", [["left", "nose to the left"], ["right", "nose to the right"]], pads, "turned") : null;
    return make("div", {}, side, make("fieldset", { class: "pads" }, make("legend", {}, `${legend}, ${kart.unit}`), middle, ...inputs));
  });
}

function press(key) {
  const pads = current();
  const [set, corner] = [pads.sets[Math.floor(focused / 4)], focused % 4];
  if (!set) return;
  set[corner] = key === "⌫" ? set[corner].slice(0, -1) : set[corner] + key;
  const input = document.getElementById(`f${focused}`);
  input.value = set[corner];
  changed(pads);
}

function next() {
  focused = (focused + 1) % (4 * current().sets.length);
  document.getElementById(`f${focused}`)?.focus();
}

/** A straight set stands before the turned one, of which there is one at most. */
function oneMore(turned) {
  const pads = current();
  const at = pads.sets.length - (pads.turned ? 1 : 0);
  if (!turned || !pads.turned) pads.sets.splice(at, 0, ["", "", "", ""]);
  if (turned) pads.turned ??= "left";
  focused = 4 * at;
  keep();
  show();
  document.getElementById(`f${focused}`)?.focus();
}

function keypad() {
  const key = (text, name) => button(text, () => press(text), { class: "key", "aria-label": name ?? text });
  return make("div", { class: "keypad", "aria-label": "Keypad", role: "group" },
    key("7"), key("8"), key("9"), key("⌫", "delete"),
    key("4"), key("5"), key("6"), button("next wheel", next, { class: "key next" }),
    key("1"), key("2"), key("3"),
    key("."), key("0"), button("one more set", () => oneMore(null), { class: "key small" }),
    button("turned set", () => oneMore("left"), { class: "key small" }));
}

function chips(pads) {
  const drivers = [...kart.drivers.map((name) => [name, name]), ["none", "no driver"]];
  const first = kart.driver ?? "none";
  drivers.sort(([one], [other]) => (other === first) - (one === first));
  return [
    choice("driver", "Driver", drivers, pads, "driver"),
    kart.has_fuel ? choice("fuel", "Fuel", [["start", "fuel of the start"], ["finish", "of the finish"], ["none", "no fuel"]], pads, "fuel") : null,
    choice("lead", "Lead aboard", [[null, kart.is_fitted ? "lead as fitted" : "no lead fitted"], ["none", "no lead aboard"]].slice(0, kart.is_fitted ? 2 : 1), pads, "lead"),
  ].filter(Boolean);
}

function clear(pads) {
  return button("Clear", () => { pads.sets = [["", "", "", ""]]; pads.turned = null; keep(); show(); });
}

function showPads() {
  const pads = state.pads;
  const plannable = isTyped(pads);
  look(pads, false);
  return [
    ...chips(pads), ...fields(pads), keypad(),
    make("div", { id: "live", class: "page" }),
    make("div", { class: "act" },
      button(plannable ? "Plan with these readings" : "Plan from the last weighing", () => plan({ pads: isTyped(pads) ? pads : null }), { id: "go", class: "main" }),
      clear(pads)),
  ];
}

function showLooked(reply) {
  const pads = current();
  reply.fields.forEach(({ wrong, expected, difference }, index) => {
    const said = document.getElementById(`f${index}-said`);
    if (!said) return;
    said.replaceChildren(wrong ?? (expected ? `${expected} expected ` : ""), difference ? make("b", {}, difference) : "");
    said.classList.toggle("missed", Boolean(wrong));
    document.getElementById(`f${index}`).setAttribute("aria-invalid", String(Boolean(wrong)));
  });
  const live = document.getElementById("live");
  if (!live) return;
  if (reply.refused) live.replaceChildren(make("pre", { class: "missed" }, reply.refused));
  else live.innerHTML = reply.html;
  const main = document.getElementById("go");
  if (main && state.tab === "pads") {
    main.textContent = isTyped(pads) ? "Plan with these readings" : "Plan from the last weighing";
    if (state.plan && isTyped(pads)) live.prepend(make("p", { class: "old" }, "The plan under Jobs is older than these readings."));
  }
}

/** The name of a mount or an adjuster. */
const named = (place) => make("bdi", { class: "place" }, (kart.mounts[place.mount] ?? kart.adjusters[place.adjuster] ?? "?").replaceAll("_", " "));

function waits() {
  return make("div", { class: "act" }, make("p", { class: "wait" }, state.plan ? "Looking for a better plan\u2026" : "Searching\u2026"),
    button("Stop", () => search.stop(), { class: "main" }));
}

function showJobs() {
  if (!state.plan) return searching ? [waits()] : [make("p", {}, "There is no plan yet."), button("Plan", () => plan(), { class: "main" })];
  const { html, picture, jobs, is_open: isOpen } = state.plan;
  const outcome = make("section", { class: "outcome page" });
  outcome.innerHTML = html;
  const kartSeen = make("figure", { class: "picture" });
  kartSeen.innerHTML = picture;
  const isDone = (job) => job.at && state.done.some((place) => same(place, job.at));
  const minutes = () => jobs.filter((job) => !isDone(job)).reduce((sum, job) => sum + job.minutes, 0);
  const left = make("p", { id: "left" });
  const mark = () => { left.textContent = minutes() > 0 ? `About ${Math.ceil(minutes())} min left` : "All done: weigh again"; };
  const list = make("ol", { class: "jobs" }, ...jobs.map((job) => {
    const words = make("span");
    words.innerHTML = job.html;
    if (!job.at) return make("li", {}, words);
    const box = make("input", {
      type: "checkbox", checked: Boolean(isDone(job)),
      onchange: ({ target }) => {
        state.done = state.done.filter((place) => !same(place, job.at));
        if (target.checked) state.done.push(job.at);
        keep();
        mark();
        stand();
        tool.querySelectorAll("nav button")[1].textContent = `Jobs ${jobs.length - state.done.length}`;
      },
    });
    const cannot = button("cannot do this", () => plan({ done: state.done, leave: [...state.leave, job.at] }), { class: "cannot" });
    return make("li", {}, make("label", {}, box, words), cannot);
  }));
  mark();
  if (jobs.length > 0) stand();
  return [
    searching ? waits() : null, outcome, kartSeen,
    jobs.length > 0 ? list : make("p", {}, "Nothing to change: leave the lead as it is."),
    jobs.length > 0 ? left : null,
    make("p", { id: "standing" }),
    state.leave.length > 0 ? make("div", { class: "act" }, make("p", {}, "Left as it is: ", ...state.leave.map(named)),
      button("Allow all again", () => plan({ done: state.done, leave: [] }))) : null,
    make("div", { class: "act" },
      jobs.length > 0 ? button("Weigh again", () => go("again"), { class: "main" }) : null,
      isOpen && !searching ? button("Search longer", () => plan({ seconds: 12 * SECONDS })) : null,
      button("Print the sheet", print)),
    make("p", { class: "quiet" }, "Lead: gloves, lock nuts, check every run. Rulebook and official scale decide."),
  ].filter(Boolean);
}

function showAgain() {
  if (!state.plan?.planned) return [make("p", {}, "There is no plan to weigh against yet.")];
  const pads = state.again;
  const how = state.done.length > 0 && state.done.length < places().length ? "with the jobs that are ticked" : "with all jobs done";
  look(pads, true);
  return [
    make("p", {}, `What the pads should show ${how}; type what they show.`),
    ...chips(pads), ...fields(pads), keypad(), make("div", { id: "live", class: "page" }),
    make("div", { class: "act" },
      button("Keep, and plan again", () => (isTyped(pads) ? plan({ pads, done: boltedAgain().done }) : say("Type all four first.")), { class: "main" }),
      clear(pads)),
  ];
}

async function read(kind) {
  reading = { kind };
  show();
  if (kind === "kart") return;
  const asks = ["log", "how_to"].includes(kind) ? kind : { [kind]: { seconds: SECONDS } };
  const told = (reply) => {
    reading = { kind, reply };
    if (state.tab === "more") show();
  };
  const reply = await search.ask(request(asks), "read", told);
  if (reply && reading?.kind === kind) told(reply);
}

function showMore() {
  const parts = READ.map(([kind, name]) => button(name, () => read(kind), { "aria-pressed": String(reading?.kind === kind) }));
  const menu = make("div", { class: "act menu" }, ...parts);
  if (!reading) return [menu, ...files()];
  if (reading.kind === "kart") return [menu, ...showKart(), ...files()];
  const body = make("section", { class: "read" });
  if (!reading.reply) body.append(make("p", { class: "wait" }, "Working\u2026"), button("Stop", () => search.stop()));
  else if (reading.reply.is === "page") body.innerHTML = reading.reply.html;
  else body.append(make("pre", { class: "missed" }, reading.reply.said));
  return [menu, body];
}

/** Takes a changed file, or says at which line it is wrong and changes nothing. */
async function change(text, asks) {
  const before = kart.text;
  const reply = await readKart(text, asks);
  if (reply?.is !== "kart") {
    say("");
    return reply;
  }
  if (reply.text !== before) Object.assign(state, { text: reply.text, plan: null, done: [], leave: [] });
  keep();
  return reply;
}

function showKart() {
  const said = make("pre", { class: "missed", role: "alert" });
  const area = make("textarea", { value: state.text, rows: 24, spellcheck: false, "aria-label": "The file", wrap: "off" });
  const wrong = (reply) => {
    said.textContent = reply.said + (reply.help ? `\n${reply.help}` : "");
    const line = reply.lines?.[0];
    if (!line) return;
    const from = state.typedFile.split("\n").slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
    area.focus();
    area.setSelectionRange(from, from + state.typedFile.split("\n")[line - 1].length);
  };
  const take = async () => {
    state.typedFile = area.value;
    const reply = await change(area.value, "kart");
    if (reply.is !== "kart") wrong(reply);
    else {
      say("The file is right. Plan again for what follows from it.");
      show();
    }
  };
  const rows = kart.settings.map(({ path, word }, index) => make("div", { class: "setting" },
    make("label", { for: `s${index}` }, path.join(" ").replaceAll("_", " ")),
    make("input", {
      id: `s${index}`, value: word, autocomplete: "off",
      onchange: async ({ target }) => {
        state.typedFile = state.text;
        const reply = await change(state.text, { set: { path, word: target.value } });
        if (reply.is === "kart") show();
        else wrong(reply);
      },
    })));
  return [
    make("h2", {}, "What changes often"), ...rows,
    make("h2", {}, "The file"), said, area,
    make("div", { class: "act" }, button("Take this file", take, { class: "main" })),
    kart.warnings ? make("pre", {}, kart.warnings) : null,
  ].filter(Boolean);
}

// --- Files ------------------------------------------------------------------------------------------------------------------

function download(name, text, type) {
  const address = URL.createObjectURL(new Blob([text], { type }));
  make("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}

const stem = () => state.name.replace(/\.(ya?ml|html?)$/i, "").replace(/.*[\\/]/, "");

/** This page with what is known now inside, and its sheet for whoever runs no script. */
function copy() {
  const page = document.documentElement.cloneNode(true);
  const part = (id) => page.querySelector(`#${id}`);
  page.querySelector("body").removeAttribute("class");
  part("tool").replaceChildren();
  part("tool").hidden = true;
  if (state.plan) part("sheet").innerHTML = state.plan.sheet;
  part("state").textContent = JSON.stringify({ ...kept(), base: state.text }).replaceAll("<", "\\u003c");
  return `<!DOCTYPE html>\n${page.outerHTML}\n`;
}

function files() {
  const open = make("input", { type: "file", id: "open", accept: ".yaml,.yml,.html,.htm,text/*", onchange: ({ target }) => opened(target.files[0]) });
  return [
    make("h2", {}, "Save and open"),
    make("div", { class: "act" },
      button("Save a copy of this page", () => download(`${stem()}.html`, copy(), "text/html"), { id: "save" }),
      button("Save the file (YAML)", () => download(`${stem()}.yaml`, state.text, "application/yaml"), { id: "save-file" }),
      button("Print the sheet", print)),
    make("p", {}, make("label", { for: "open" }, "Open a saved page or a file"), " ", open),
  ];
}

/** What somebody has sent is data: of a saved page only its state is read, and nothing of it runs. */
async function opened(file) {
  if (!file) return;
  const text = await file.text();
  let found = { name: file.name, text };
  if (/^\s*<(!doctype|html)/i.test(text)) {
    try {
      found = JSON.parse(new DOMParser().parseFromString(text, "text/html").getElementById("state").textContent);
    } catch {
      return say(`${file.name} is no page of this kind, or is damaged; nothing was changed.`);
    }
  }
  const read = asState(found);
  if (!read) return say(`${file.name} holds no kart; nothing was changed.`);
  const reply = await quick.ask({ name: read.name, text: read.text, asks: "kart" }, "kart");
  if (reply?.is !== "kart") return say(`${file.name} was not taken: ${reply?.said ?? "it cannot be read"}`);
  kart = reply;
  await take(read);
  say(`${file.name} is open.`);
}

/** Goes on with a state; its plan is planned again, from the file that it was for. */
async function take(read) {
  const { planned, ...rest } = read;
  state = { ...rest, plan: null };
  if (planned?.planned) {
    const { done, tab, pads, again, leave } = state;
    await plan({ leave });
    // Ticks belong to that plan and to no other.
    const still = same(state.plan?.planned, planned.planned);
    Object.assign(state, { tab, pads, again, done: still ? done : [] });
  }
  keep();
  show();
}

addEventListener("beforeprint", () => { if (state?.plan) paper.innerHTML = state.plan.sheet; });

/** Phone and file have both changed: whose is it to be? */
function bothChanged(stored, inside) {
  const side = (title, text, chosen) => make("section", {}, make("h2", {}, title),
    make("pre", {}, text), button("Go on with this", chosen, { class: "main" }));
  tool.replaceChildren(
    make("header", {}, make("h1", {}, "Two states of this kart")),
    make("p", { role: "status" }, "This browser has kept one, and the file that you opened is another. Nothing is lost until you choose."),
    make("div", { class: "two" }, side("Kept in this browser", stored.text, () => take(stored)), side("In the file", inside.text, () => take(inside))),
  );
}

async function begin() {
  const inside = asState(JSON.parse(held("state")));
  try {
    await start();
    state = inside;
    const reply = await readKart();
    if (reply?.is !== "kart") throw new Error(reply?.said);
  } catch (error) {
    paper.prepend(make("p", { class: "missed", role: "alert" },
      `The tool itself does not start in this browser (${error.message || "it is too old"}); the sheet below can be read and printed.`));
    return;
  }
  document.body.classList.add("runs");
  tool.hidden = false;
  document.title = kart.name;
  const stored = fromStore();
  const isUntouched = stored && stored.text === stored.base && stored.done.length === 0 && same(stored.pads, noPads());
  if (stored && (stored.text === inside.text || stored.base === inside.text)) await take(stored);
  else if (!stored || isUntouched) await take(inside);
  else bothChanged(stored, inside);
  if (location.protocol.startsWith("http") && document.querySelector("link[rel=manifest]")) navigator.serviceWorker?.register("service.js").catch(() => {});
}

begin();
