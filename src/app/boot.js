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

try {
  const { default: init } = await import(address("app-js"));
  await init({ module_or_path: address("app-wasm") });
} catch (fault) {
  const sentence = document.createElement("p");
  sentence.setAttribute("role", "alert");
  sentence.textContent = `Brimwise could not start in this browser: ${fault}`;
  document.getElementById("app").replaceChildren(sentence);
  throw fault;
}
// In a frame the app is a guest; where there are no such workers, or none are allowed, it needs its signal.
if (self === top && navigator.serviceWorker) keep().catch(() => {});
