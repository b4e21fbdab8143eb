// Starts the app, and keeps it on the device where the browser can. A file of its own, because a strict content-security policy refuses
// scripts written into the page.
const address = (id) => document.getElementById(id).href;
const tell = (what) => dispatchEvent(new Event(`brimwise-${what}`));

// The WebAssembly is in parts where the page names them: with the first everything starts; doors.rs says what the others are. After a colon stands
// what else is needed with one, and must be there first.
const first = document.getElementById("app-wasm");
const besides = {};
const parts = (first?.dataset.parts?.split(" ") ?? []).map((entry) => {
  const [name, other] = entry.split(":");
  besides[name] = other ? [other, name] : [name];
  return name;
});
// What the parts hand to each other, and which are in it.
const room = {};
const placed = new Set();
const coming = {};
let begin;
const begun = new Promise((then) => (begin = then));

async function fetched(name) {
  const answer = await fetch(first.href.replace("_bg.", `_${name}.`));
  // The kind of fault that a fetch that fails makes, too.
  if (!answer.ok) throw new TypeError(`${answer.url}: ${answer.status}`);
  // A host may send it as something else.
  const named = answer.headers.get("content-type") === "application/wasm";
  return named ? WebAssembly.compileStreaming(answer) : WebAssembly.compile(await answer.arrayBuffer());
}

/** A part, compiled. One that could not be had is asked for again the next time. */
function part(name) {
  coming[name] ??= fetched(name).catch((fault) => {
    delete coming[name];
    throw fault;
  });
  return coming[name];
}

/** Brings the parts with these names, those first that others take from; or all. */
async function bring(names) {
  const wanted = names ? names.split(" ").flatMap((name) => besides[name] ?? []) : parts;
  const modules = await Promise.all(wanted.map(part));
  await begun;
  for (const [at, one] of wanted.entries()) {
    if (placed.has(one)) continue;
    Object.assign(room, new WebAssembly.Instance(modules[at], { m: room }).exports);
    placed.add(one);
  }
}

/** What the address asks for is fetched beside what starts the app. The first answer of a guest needs less than its page, which then comes after it. */
async function fetchEarly() {
  const [, kind, name] = /^#\/(?:(calculator|embed)\/(\w+))?/.exec(location.hash) ?? [];
  const fetchAll = (names) => Promise.allSettled(names.map(part));
  if (!parts.includes(name)) return fetchAll(/^#\/./.test(location.hash) ? parts : ["app"]);
  const sums = ["shared", ...besides[name]];
  if (kind === "embed") await fetchAll(sums);
  return fetchAll([...sums, "app", "sheets"]);
}

if (parts.length) {
  globalThis.brimwisePart = bring;
  fetchEarly();
}

/** Keeps the app; says to it when it opens without a signal, and when a newer version waits. */
async function keep() {
  const workers = navigator.serviceWorker;
  const kept = await workers.register("./offline.js", { updateViaCache: "none" });
  const look = () => kept.waiting && kept.active && tell("newer");
  kept.addEventListener("updatefound", () => kept.installing?.addEventListener("statechange", look));
  look();
  // A page may stay open for weeks: whoever comes back to it after a while hears of a newer version.
  let asked = Date.now();
  document.addEventListener("visibilitychange", () => {
    if (document.hidden || Date.now() - asked < 3600000) return;
    asked = Date.now();
    kept.update().catch(() => {});
  });
  addEventListener("brimwise-renew", () => {
    const next = kept.waiting;
    // Another tab may have asked for it already.
    if (!next) return location.reload();
    next.addEventListener("statechange", () => next.state === "activated" && location.reload());
    next.postMessage("use");
  });
  const { active } = await workers.ready;
  const line = new MessageChannel();
  line.port1.onmessage = ({ data }) => data && tell("offline");
  active.postMessage("whole", [line.port2]);
}

/** Tells a page around how high the app is: when it asks, and whenever that changes. Nothing else is ever said. */
function grow({ source, origin, data }) {
  if (source !== parent || data?.brimwise !== 1 || data.ask !== "height") return;
  removeEventListener("message", grow);
  const app = document.getElementById("app");
  const say = () => parent.postMessage({ brimwise: 1, height: Math.ceil(app.getBoundingClientRect().height) }, origin === "null" ? "*" : origin);
  new ResizeObserver(say).observe(app);
}
if (self !== top) addEventListener("message", grow);

/** The app's script and its WebAssembly: two files of the site, or parts of the one file that all of it is in. */
async function begins() {
  const packed = document.getElementById("app-packed");
  if (!packed) return [(await import(address("app-js"))).default, address("app-wasm")];
  const [bytes, glue] = [packed.dataset.bytes, packed.dataset.glue].map(Number);
  const whole = unpack(letters(packed.textContent), bytes);
  packed.remove();
  const script = document.createElement("script");
  script.textContent = new TextDecoder().decode(whole.subarray(0, glue));
  document.head.append(script);
  return [brimwise, whole.subarray(glue)];
}

try {
  const [init, module_or_path] = await begins();
  begin(Object.assign(room, await init({ module_or_path })));
  // Without this part there is no screen that could say what is missing.
  if (parts.length) await bring("app");
} catch (fault) {
  const sentence = document.createElement("p");
  sentence.setAttribute("role", "alert");
  const missed = first && fault instanceof TypeError;
  sentence.textContent = missed ? `Brimwise could not be fetched. ${fault.message}` : `Brimwise could not start in this browser: ${fault}`;
  const again = document.createElement("button");
  again.className = "btn go";
  again.textContent = "Try again";
  again.onclick = () => location.reload();
  const page = document.createElement("main");
  page.className = "page";
  page.append(sentence, again);
  document.getElementById("app").replaceChildren(page);
  throw fault;
}
/** When the first screen stands there and nothing else is going on. */
const quiet = () =>
  new Promise((then) => {
    const idle = () => (self.requestIdleCallback ? requestIdleCallback(then, { timeout: 2000 }) : setTimeout(then, 200));
    // A page that nobody looks at draws nothing.
    if (document.hidden) idle();
    else requestAnimationFrame(() => setTimeout(idle));
  });

// In a frame the app is a guest: it is left with what it needs until it needs more, and is not kept. Where there are no such workers, or none
// are allowed, it needs its signal. The worker comes last, and finds what the page has fetched.
if (self === top) {
  if (parts.length) {
    await quiet();
    await bring("").then(() => tell("whole"), () => {});
  }
  if (navigator.serviceWorker) keep().catch(() => {});
}
