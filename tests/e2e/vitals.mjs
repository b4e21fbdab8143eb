// Measures a first visit as a slow phone has it: processor slowed four times, 1.6 Mbit/s down, 150 ms of delay, files sent compressed.
// Prints the median of several visits, each with nothing stored or cached, and writes them to target/vitals.json. Without a route it also
// measures a calculator embedded in another page, on the same link, and a start without any link: the server stopped, the browser started
// anew, everything from what is kept on the device.
import { rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { lasting, launch, phone, serve, target, visit, visitor } from "./harness.mjs";
import { host } from "./host.mjs";

const visits = 5;
const limits = { paint: 2500, shift: 0.1, offline: 1000, embed: 1500 };
const route = process.argv[2] ?? "";

/** What an expression comes to in the page. The driver's own way of asking has the page read a large script first, which the slowed processor would
 * be seen to be busy with. */
async function ask(line, expression) {
  const { result } = await line.send("Runtime.evaluate", { expression, awaitPromise: true, returnByValue: true });
  return result.value;
}

/** The largest contentful paint (ms), layout shift, time until the app shows something (ms), and bytes over the line. */
async function visitOnce(browser, base, route, there = "#app .skip") {
  const context = await visitor(browser, { size: phone });
  const page = await context.newPage();
  const line = await context.newCDPSession(page);
  await line.send("Network.enable");
  await line.send("Network.setCacheDisabled", { cacheDisabled: false });
  await line.send("Network.emulateNetworkConditions", {
    offline: false,
    latency: 150,
    downloadThroughput: 1.6e6 / 8,
    uploadThroughput: 0.75e6 / 8,
  });
  await line.send("Emulation.setCPUThrottlingRate", { rate: 4 });
  let bytes = 0;
  line.on("Network.loadingFinished", ({ encodedDataLength }) => (bytes += encodedDataLength));
  await page.addInitScript((there) => {
    window.seen = { paint: 0, element: "", shift: 0, ready: 0 };
    new PerformanceObserver((list) => {
      const last = list.getEntries().at(-1);
      window.seen.paint = last.startTime;
      window.seen.element = last.element?.tagName ?? "";
    }).observe({ type: "largest-contentful-paint", buffered: true });
    // The worst burst of shifts: less than a second apart, five seconds in all.
    let burst = { from: 0, to: 0, sum: 0 };
    new PerformanceObserver((list) => {
      for (const { startTime, value, hadRecentInput } of list.getEntries()) {
        if (hadRecentInput) continue;
        const goesOn = startTime - burst.to < 1000 && startTime - burst.from < 5000;
        burst = goesOn ? { ...burst, to: startTime, sum: burst.sum + value } : { from: startTime, to: startTime, sum: value };
        window.seen.shift = Math.max(window.seen.shift, burst.sum);
      }
    }).observe({ type: "layout-shift", buffered: true });
    window.ready = new Promise((then) => {
      const look = () => {
        if (document.querySelector(there)) then((window.seen.ready = performance.now()));
        else requestAnimationFrame(look);
      };
      look();
    });
  }, there);
  await page.goto(base + route, { timeout: 60_000 });
  await ask(line, "ready");
  await page.waitForLoadState("networkidle");
  await page.waitForTimeout(1500);
  const seen = await page.evaluate(() => window.seen);
  await context.close();
  return { ...seen, bytes };
}

/** The time until a calculator has its result (ms), with no server and everything from the device; the browser is started anew each time. */
async function startOffline() {
  const profile = join(target, "e2e", "profile-vitals");
  await rm(profile, { recursive: true, force: true });
  const site = await host(join(target, "dist"));
  const first = await lasting(profile);
  const page = await first.newPage();
  await visit(page, site.base);
  await page.getByText("Ready offline", { exact: false }).waitFor();
  await first.close();
  await site.stop();
  const times = [];
  for (let at = 0; at < visits; at += 1) {
    const context = await lasting(profile);
    const page = await context.newPage();
    const line = await context.newCDPSession(page);
    await line.send("Emulation.setCPUThrottlingRate", { rate: 4 });
    await page.addInitScript(() => {
      // Interactive: the result stands there, and the page answers to something that comes after it.
      window.ready = new Promise((then) => {
        const look = () => {
          if (document.querySelector("#verdict")?.textContent) setTimeout(() => then(performance.now()));
          else requestAnimationFrame(look);
        };
        look();
      });
    });
    await page.goto(`${site.base}#/calculator/drain`);
    times.push(await ask(line, "ready"));
    await context.close();
  }
  return times;
}

const middle = (times) => [...times].sort((one, other) => one - other)[Math.floor(times.length / 2)];

const server = await serve({ gzip: true });
const browser = await launch();
const all = [];
const embedded = [];
const whole = [];
let offline = [];
try {
  for (let at = 0; at < visits; at += 1) all.push(await visitOnce(browser, server.base, route));
  if (!route) {
    for (let at = 0; at < visits; at += 1) {
      embedded.push((await visitOnce(browser, server.base, "#/embed/drain", "#verdict")).ready);
      whole.push((await visitOnce(browser, server.base, "#/embed/drain", "#app .skip")).ready);
    }
    offline = await startOffline();
  }
} finally {
  await browser.close();
  await server.close();
}

const median = (key) => middle(all.map((visit) => visit[key]));
const result = { route, visits, paint: median("paint"), shift: median("shift"), ready: median("ready"), bytes: median("bytes") };
await writeFile(join(target, "vitals.json"), `${JSON.stringify({ ...result, embed: middle(embedded), embedWhole: middle(whole), offline: middle(offline), limits, all, embedded, offlineStarts: offline }, null, 2)}\n`);
console.log(`median of ${visits} first visits to ${route || "the first page"}, processor slowed 4 times, 1.6 Mbit/s, 150 ms`);
console.log(`   largest contentful paint ${result.paint.toFixed(0)} ms (${all[0].element}); limit ${limits.paint}`);
console.log(`   layout shift ${result.shift.toFixed(3)}; limit ${limits.shift}`);
console.log(`   app ready ${result.ready.toFixed(0)} ms; ${result.bytes} bytes over the line`);
if (!route) {
  console.log(`   embedded calculator, first result ${middle(embedded).toFixed(0)} ms on the same link; target ${limits.embed}; its whole page ${middle(whole).toFixed(0)} ms`);
  console.log(`   offline, the browser started anew, first result and interactive ${middle(offline).toFixed(0)} ms; limit ${limits.offline}`);
}
if (!(result.paint > 0)) throw new Error("nothing was painted");
process.exitCode = result.paint > limits.paint || result.shift > limits.shift || middle(offline) > limits.offline ? 1 : 0;
