// What every script here shares: the server of the built site, a browser, pages that are watched, and axe.
import { spawn } from "node:child_process";
import { createRequire } from "node:module";
import { existsSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

export const root = join(dirname(fileURLToPath(import.meta.url)), "..", "..");
export const target = join(root, "target");

const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const axeTags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

// The site is opened deep under a path, as a club's static host might have it.
export const prefix = "/a/b/app/";

export const phone = { width: 360, height: 800 };
export const desk = { width: 1280, height: 800 };

/** Serves target/dist as `cargo xtask serve` does, strict policy and all; `close()` ends it. */
export async function serve({ gzip = false } = {}) {
  const [program, ...first] = process.env.BRIMWISE_SERVER ? [process.env.BRIMWISE_SERVER] : ["cargo", "xtask"];
  const words = [...first, "serve", "--port", "0", "--prefix", prefix, "--with-parent", ...(gzip ? ["--gzip"] : [])];
  const child = spawn(program, words, { cwd: root, stdio: ["pipe", "pipe", "inherit"] });
  const base = await new Promise((resolve, reject) => {
    let said = "";
    child.stdout.on("data", (data) => {
      const address = /http:\/\/\S+/.exec((said += data));
      if (address) resolve(address[0]);
    });
    child.once("error", reject);
    child.once("exit", (code) => reject(new Error(`the server ended (${code}): ${said}`)));
  });
  return {
    base,
    close: () =>
      new Promise((resolve) => {
        child.once("exit", resolve);
        child.stdin.end();
      }),
  };
}

function browserPath() {
  const executablePath = process.env.BRIMWISE_CHROME ?? "/usr/bin/chromium";
  if (!existsSync(executablePath)) throw new Error(`no browser at ${executablePath}; BRIMWISE_CHROME may name another`);
  return executablePath;
}

const args = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
  "--disable-dev-shm-usage",
];

/** Opens the browser that BRIMWISE_CHROME names, or the usual one. */
export function launch() {
  return chromium.launch({ executablePath: browserPath(), args, headless: true });
}

/** A visitor whose browser keeps its things in a folder, also when it is closed and opened again. */
export function lasting(folder, { size = phone } = {}) {
  const executablePath = browserPath();
  return chromium.launchPersistentContext(folder, { executablePath, args, headless: true, viewport: size, reducedMotion: "reduce", locale: "en-GB" });
}

/** A visitor whose browser is as it comes, without what drivers of tests switch off: storage in frames is parted by site, as it is for people. */
export function common(folder, { size = desk } = {}) {
  const own = ["--headless=new", "--remote-debugging-pipe", `--user-data-dir=${folder}`, "--no-sandbox", "--no-first-run", "--disable-dev-shm-usage", "about:blank"];
  const executablePath = browserPath();
  return chromium.launchPersistentContext(folder, { executablePath, ignoreDefaultArgs: true, args: own, viewport: size, locale: "en-GB" });
}

/** A fresh visitor: nothing stored, nothing cached. */
export function visitor(browser, { size = phone, dark = false, touch = size.width < 600, ...rest } = {}) {
  return browser.newContext({
    viewport: size,
    hasTouch: touch,
    isMobile: touch,
    colorScheme: dark ? "dark" : "light",
    reducedMotion: "reduce",
    locale: "en-GB",
    ...rest,
  });
}

/**
 * Watches all pages of a visitor. Gives the list of faults, which grows: console errors and warnings, errors in scripts, violations
 * of the policy, failed or refused requests, and requests that leave the site's origin (or origins). `requests` lists every address asked for.
 */
export async function watch(context, base) {
  const origins = [base].flat().map((address) => new URL(address).origin);
  const faults = [];
  const requests = [];
  await context.addInitScript(() => {
    addEventListener("securitypolicyviolation", (event) => {
      console.error(`policy violated: ${event.effectiveDirective} by ${event.blockedURI || "inline code"} ${event.sample}`);
    });
  });
  context.on("page", (page) => {
    page.on("console", (message) => {
      if (["error", "warning", "assert"].includes(message.type())) {
        faults.push(`console ${message.type()}: ${message.text()} (${message.location().url})`);
      }
    });
    page.on("pageerror", (error) => faults.push(`script error: ${error}`));
    page.on("crash", () => faults.push("the page crashed"));
  });
  context.on("request", (request) => {
    const url = new URL(request.url());
    if (!["http:", "https:", "ws:", "wss:"].includes(url.protocol)) return;
    requests.push(request.url());
    if (!origins.includes(url.origin)) faults.push(`a request left the site: ${url}`);
  });
  context.on("requestfailed", (request) => faults.push(`failed: ${request.url()}: ${request.failure()?.errorText}`));
  context.on("response", (response) => {
    if (response.status() >= 400) faults.push(`${response.status()}: ${response.url()}`);
  });
  return { faults, requests };
}

/** Goes to a route (`#/...`) and waits until the app shows something. */
export async function visit(page, base, route = "") {
  await page.goto(base + route);
  // What is painted before the app is there has no such link.
  await page.waitForSelector("#app .skip", { state: "attached" });
  // Another route of a page that is open is no new page: give the app its turn to show it. What is out of sight of a new page has two turns of its
  // own, which come before these.
  await page.evaluate(async () => {
    const turn = () => new Promise((done) => requestAnimationFrame(() => requestIdleCallback(done)));
    for (let at = 0; at < 3; at += 1) await turn();
  });
}

/** Runs axe on what the page shows now; gives a sentence for each violation. */
export async function axe(page) {
  await page.evaluate(axeSource);
  const violations = await page.evaluate(async (tags) => {
    const { violations } = await window.axe.run(document, { runOnly: { type: "tag", values: tags } });
    return violations.map(({ id, help, nodes }) => ({ id, help, where: nodes.map((node) => node.target.join(" ")) }));
  }, axeTags);
  return violations.map(({ id, help, where }) => `${id}: ${help} (${where.slice(0, 5).join(", ")})`);
}

/** Fills the browser's storage to the last letter. */
export const fillUp = (page) =>
  page.evaluate(() => {
    let part = "x".repeat(1 << 20);
    for (let i = 0; part.length > 0; ) {
      try {
        localStorage.setItem(`filler-${i}`, part);
        i += 1;
      } catch {
        part = part.slice(0, part.length >> 1);
      }
    }
    // What is left is too little for another name, and goes to one that there is.
    try {
      for (let more = localStorage.getItem("filler-0"); ; ) localStorage.setItem("filler-0", (more += "x"));
    } catch {
      // Full to the last letter.
    }
  });

/** Makes room again. */
export const makeRoom = (page) => page.evaluate(() => Object.keys(localStorage).filter((k) => k.startsWith("filler-")).forEach((k) => localStorage.removeItem(k)));

/** Unfolds everything. What is inside is made when it is first opened, and may be folded itself. */
export async function unfoldAll(page, rounds = 2) {
  for (let round = 0; round < rounds; round += 1) {
    await page.evaluate(() => document.querySelectorAll("details").forEach((d) => (d.open = true)));
    await page.waitForTimeout(50);
  }
}
