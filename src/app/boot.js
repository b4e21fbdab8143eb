// Starts the app, and keeps it on the device where the browser can. A file of its own, because a strict content-security policy refuses
// scripts written into the page.
const address = (id) => document.getElementById(id).href;
const tell = (what) => dispatchEvent(new Event(`brimwise-${what}`));

/** Keeps the app; says to it when it opens without a signal, and when a newer version waits. */
async function keep() {
  const workers = navigator.serviceWorker;
  const kept = await workers.register("./offline.js", { updateViaCache: "none" });
  const look = () => kept.waiting && kept.active && tell("newer");
  kept.addEventListener("updatefound", () => kept.installing?.addEventListener("statechange", look));
  look();
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
async function parts() {
  const packed = document.getElementById("app-packed");
  if (!packed) return [(await import(address("app-js"))).default, address("app-wasm")];
  const text = packed.textContent;
  const bytes = new DataView(new ArrayBuffer((text.length / 5) * 4));
  for (let at = 0; at < text.length; at += 5) {
    let word = 0;
    for (let i = at; i < at + 5; i += 1) {
      const code = text.charCodeAt(i);
      word = word * 85 + code - 40 - (code > 60);
    }
    bytes.setUint32((at / 5) * 4, word);
  }
  packed.remove();
  const whole = new Blob([new Uint8Array(bytes.buffer, 0, packed.dataset.bytes)]);
  const plain = whole.stream().pipeThrough(new DecompressionStream("gzip"));
  return [brimwise, new Response(plain, { headers: { "content-type": "application/wasm" } })];
}

try {
  const [init, module_or_path] = await parts();
  await init({ module_or_path });
} catch (fault) {
  const sentence = document.createElement("p");
  sentence.setAttribute("role", "alert");
  sentence.textContent = `Brimwise could not start in this browser: ${fault}`;
  document.getElementById("app").replaceChildren(sentence);
  throw fault;
}
// In a frame the app is a guest; where there are no such workers, or none are allowed, it needs its signal.
if (self === top && navigator.serviceWorker) keep().catch(() => {});
