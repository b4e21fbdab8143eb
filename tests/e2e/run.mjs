// Runs the end-to-end tests: every file of specs/, or those whose name holds one of the words given.
//
// A spec exports `name`, a sentence, and `run(ctx)`. In ctx:
//   open(route, { size, dark, touch, ... })   a new visitor's page at that route; size is phone (360x800) unless told
//   adopt(context, home)                      watches a context that the spec opened itself, of a site at another address if told
//   goto(page, route)                         another route in a page that is open
//   axe(page)                                 fails where axe finds a violation in what the page shows now
//   fits(page)                                fails where the page scrolls sideways
//   expect(true or false, sentence)           fails with that sentence
//   allow(pattern)                            one kind of fault that this spec causes on purpose; it must then happen
//   requests                                  every address asked for so far
//   base, browser, phone, desk                the site's address, the browser, two sizes
//
// Whatever a page says on its console as a warning or an error, a broken policy, a failed request, or one that leaves the site's
// origin fails the spec that caused it.
import { mkdir, readdir } from "node:fs/promises";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import * as harness from "./harness.mjs";

const limit = 120_000;
const pictures = join(harness.target, "e2e");
const words = process.argv.slice(2);

async function runSpec(spec, file, browser, base) {
  const contexts = [];
  const pages = [];
  const watched = [];
  const allowed = [];
  const ctx = {
    base,
    browser,
    phone: harness.phone,
    desk: harness.desk,
    get requests() {
      return watched.flatMap(({ requests }) => requests);
    },
    async open(route = "", options = {}) {
      const context = await harness.visitor(browser, options);
      contexts.push(context);
      watched.push(await harness.watch(context, base));
      const page = await context.newPage();
      pages.push(page);
      page.setDefaultTimeout(10_000);
      await harness.visit(page, base, route);
      return page;
    },
    async adopt(context, home = base) {
      contexts.push(context);
      watched.push(await harness.watch(context, home));
      for (const page of context.pages()) pages.push(page);
      context.on("page", (page) => pages.push(page));
      return context;
    },
    goto: (page, route) => harness.visit(page, base, route),
    async axe(page) {
      const violations = await harness.axe(page);
      if (violations.length) throw new Error(`axe at ${new URL(page.url()).hash}:\n${violations.join("\n")}`);
    },
    async fits(page) {
      const { wide, room } = await page.evaluate(() => {
        const { scrollWidth, clientWidth } = document.documentElement;
        return { wide: scrollWidth, room: clientWidth };
      });
      ctx.expect(wide <= room, `the page at ${new URL(page.url()).hash} is ${wide} px wide in ${room} px`);
    },
    expect(holds, sentence) {
      if (!holds) throw new Error(sentence);
    },
    allow(pattern) {
      allowed.push({ pattern, seen: false });
    },
  };
  let timer;
  const late = new Promise((_, reject) => {
    timer = setTimeout(() => reject(new Error(`not done after ${limit / 1000} s`)), limit);
  });
  try {
    await Promise.race([spec.run(ctx), late]);
    // One more turn, so that what the last action set off is seen too.
    await Promise.all(pages.filter((page) => !page.isClosed()).map((page) => page.evaluate(() => new Promise(requestAnimationFrame))));
    const faults = watched.flatMap(({ faults }) => faults).filter((fault) => {
      const match = allowed.find(({ pattern }) => pattern.test(fault));
      if (match) match.seen = true;
      return !match;
    });
    const missed = allowed.filter(({ seen }) => !seen).map(({ pattern }) => `expected, but never happened: ${pattern}`);
    if (faults.length + missed.length) throw new Error([...faults, ...missed].join("\n"));
  } catch (error) {
    const faults = watched.flatMap(({ faults }) => faults);
    for (const [at, page] of pages.entries()) {
      const path = join(pictures, `${file.replace(/\.mjs$/, "")}-${at + 1}.png`);
      await page.screenshot({ path, fullPage: true, timeout: 5_000 }).catch(() => {});
    }
    throw new Error([error.message, ...faults.filter((fault) => !error.message.includes(fault))].join("\n"));
  } finally {
    clearTimeout(timer);
    await Promise.all(contexts.map((context) => context.close().catch(() => {})));
  }
}

const folder = join(harness.root, "tests", "e2e", "specs");
const files = (await readdir(folder)).filter((file) => file.endsWith(".mjs")).sort();
const chosen = files.filter((file) => !words.length || words.some((word) => file.includes(word)));
await mkdir(pictures, { recursive: true });
const server = await harness.serve();
const browser = await harness.launch();
let passed = 0;
let failed = 0;
try {
  for (const file of chosen) {
    const started = Date.now();
    const spec = await import(pathToFileURL(join(folder, file)));
    const time = () => `${((Date.now() - started) / 1000).toFixed(1)} s`;
    try {
      await runSpec(spec, file, browser, server.base);
      passed += 1;
      console.log(`ok   ${spec.name} (${time()})`);
    } catch (error) {
      failed += 1;
      console.log(`FAIL ${spec.name} (${file}, ${time()})`);
      console.log(error.message.replace(/^/gm, "     "));
    }
  }
} finally {
  await browser.close();
  await server.close();
}
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed || !passed ? 1 : 0;
