// Keeps the app on the device, so that it opens without a signal. The build fills in the two lines below and names the whole offline.js.
const VERSION = "none";
// Every file of the app with the hash of its contents; the page itself is the empty name.
const FILES = {};

const scope = registration.scope;
// What caches hold belongs to the whole origin, where others may keep things too, and a second copy of this app under another path.
const ours = `brimwise ${new URL(scope).pathname} `;
const address = (file) => new URL(file, scope).href;

/** A file for keeping: as the browser fetched it for the page, where that is what this version expects, else from the network. */
async function bring(file) {
  // A host may answer with a page for what is not there. The page itself it may have written into.
  for (const how of [{ cache: "force-cache", integrity: FILES[file] }, { cache: "reload", integrity: file && FILES[file] }]) {
    const answer = await fetch(address(file), how).catch(() => null);
    // A page of another version, as there is while files are being replaced, would ask for files of another version.
    if (!answer?.ok || (!file && !(await answer.clone().text()).includes(VERSION))) continue;
    // One that was led elsewhere may not answer for a page.
    return answer.redirected ? new Response(answer.body, answer) : answer;
  }
  throw new Error(`${file || "the page"} could not be had`);
}

/** Keeps what is not kept yet. */
async function fill() {
  const cache = await caches.open(ours + VERSION);
  const missing = async (file) => !(await cache.match(address(file)));
  const keep = async (file) => (await missing(file)) && cache.put(address(file), await bring(file));
  await Promise.all(Object.keys(FILES).map(keep));
}

async function clean() {
  for (const name of await caches.keys()) if (name.startsWith(ours) && name !== ours + VERSION) await caches.delete(name);
}

async function answer(request, file) {
  const cache = await caches.open(ours + VERSION);
  return (await cache.match(address(file))) ?? fetch(request);
}

addEventListener("install", (event) => event.waitUntil(fill()));
addEventListener("activate", (event) => event.waitUntil(clean()));
addEventListener("fetch", (event) => {
  const { request } = event;
  const [plain] = request.url.split(/[?#]/);
  const file = plain.startsWith(scope) ? plain.slice(scope.length).replace(/^index\.html$/, "") : "elsewhere";
  if (request.method === "GET" && Object.hasOwn(FILES, file)) event.respondWith(answer(request, file));
});
addEventListener("message", (event) => {
  // A version waits until a person asks for it: nobody's page changes under their hands.
  if (event.data === "use") skipWaiting();
  // Is all of it kept? What a browser has thrown away is fetched again first.
  if (event.data === "whole") {
    const say = (whole) => event.ports[0].postMessage(whole);
    event.waitUntil(fill().then(() => say(true), () => say(false)));
  }
});
