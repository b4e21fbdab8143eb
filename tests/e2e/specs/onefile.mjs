import { readFile, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { lasting, target, visit } from "../harness.mjs";
import { host } from "../host.mjs";

export const name = "one file, opened from a stick: it starts under its strict policy, computes, keeps, hands on, and asks nobody for anything";

export async function run({ adopt, expect, axe, fits }) {
  const file = join(target, "brimwise.html");
  const address = pathToFileURL(file).href;
  const profile = join(target, "e2e", "profile-stick");
  await rm(profile, { recursive: true, force: true });
  const open = async (from, route) => {
    const context = await adopt(await lasting(profile), from);
    const page = await context.newPage();
    page.setDefaultTimeout(10_000);
    await visit(page, from, route);
    return { context, page };
  };
  const html = await readFile(file, "utf8");
  const policy = /content="(default-src [^"]+)"/.exec(html)[1];
  for (const loose of ["'unsafe-inline'", "'unsafe-eval'", "'self'", "*", "http", "connect-src"]) {
    expect(!policy.includes(loose), `the policy of the file holds ${loose}: ${policy}`);
  }

  let { context, page } = await open(address, "");
  await axe(page);
  await fits(page);
  await page.getByRole("link", { name: "Courtyard trough, enlarged" }).click();
  await page.locator(".chain").getByRole("button", { name: /^Use it/ }).click();
  await page.locator(".chain").waitFor({ state: "detached" });
  await page.getByLabel("Name", { exact: true }).fill("On the stick");
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await page.locator(".notice", { hasText: "Saved: On the stick." }).waitFor();
  await page.getByText("Share by link or code").first().click();
  const code = await page.locator("#share-text").inputValue();
  expect(/^[A-Z2-7]+$/.test(code), `without an address the bare code is handed on, not ${code}`);
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save as a file" }).first().click()]);
  expect((await readFile(await download.path(), "utf8")).includes("On the stick"), "the file does not hold the system");
  await page.goto(`${address}#/`);
  expect((await page.getByText("Ready offline", { exact: false }).count()) === 0, "a file cannot be installed, and must not say so");
  await context.close();

  // Another day, another browser session.
  ({ context, page } = await open(address, "#/systems"));
  await page.getByRole("link", { name: "On the stick" }).waitFor();
  await page.goto(`${address}#/C/${code}`);
  await page.getByRole("heading", { level: 1, name: "On the stick" }).waitFor();
  await context.close();

  // With a public address, links lead there.
  const known = join(target, "e2e", "brimwise-known.html");
  await writeFile(known, html.replace("</head>", '<meta name="brimwise-address" content="https://club.example/tools/">\n</head>'));
  ({ context, page } = await open(pathToFileURL(known).href, "#/calculator/bed"));
  await page.getByText("Share by link or code").first().click();
  const link = await page.locator("#share-text").inputValue();
  expect(link.startsWith("https://club.example/tools/#/C/"), `the link leads to ${link}`);
  await context.close();

  // On a site, in the tightest sandbox there is: no origin, no storage, no other file.
  const site = await host(target, { path: "/", headers: () => ({}) });
  const around = join(target, "e2e", "around.html");
  await writeFile(around, '<!DOCTYPE html><html lang="en"><title>Around</title><link rel="icon" href="data:,"><iframe sandbox="allow-scripts" title="Bed" width="700" height="900" src="/brimwise.html#/embed/bed?feed=80+g%2Fday"></iframe>');
  try {
    context = await adopt(await lasting(profile), site.base);
    page = await context.newPage();
    await page.goto(`${site.base}e2e/around.html`);
    const feed = page.frameLocator("iframe").getByLabel("Feed a day", { exact: true });
    await feed.waitFor();
    expect((await feed.inputValue()) === "80", `the sandboxed file shows ${await feed.inputValue()}`);
    expect(site.asked.length === 2, `it asked for ${site.asked.join(", ")}`);
    await context.close();
  } finally {
    await site.stop();
  }
}
