import { readFile, rm } from "node:fs/promises";
import { join } from "node:path";
import { lasting, target, visit } from "../harness.mjs";
import { host, nextVersion, policyOf } from "../host.mjs";

export const name = "offline: loaded once, it opens with the server gone and the browser restarted, computes and keeps; a new version waits to be asked for";

const ready = (page) => page.getByText("Ready offline", { exact: false });

export async function run({ adopt, expect, allow, axe }) {
  const dist = join(target, "dist");
  const policy = await policyOf(dist);
  const headers = () => ({ "content-security-policy": policy });
  const site = await host(dist, { headers });
  const profile = join(target, "e2e", "profile");
  await rm(profile, { recursive: true, force: true });
  const open = async (route = "") => {
    const context = await adopt(await lasting(profile), site.base);
    const page = await context.newPage();
    page.setDefaultTimeout(10_000);
    await visit(page, site.base, route);
    return { context, page };
  };

  try {
    // The first visit: everything once, and nothing but what is counted.
    let { context, page } = await open();
    await ready(page).waitFor();
    const { files } = JSON.parse(await readFile(join(target, "size.json"), "utf8"));
    const asked = site.asked.map((file) => file || "index.html");
    // The browser looks at an icon of the manifest when it likes, which may be while the worker fetches it.
    const twice = asked.filter((file, at) => asked.indexOf(file) !== at && file !== "icons/192.png");
    expect(twice.length === 0, `fetched twice: ${twice.join(", ")}`);
    const uncounted = asked.filter((file) => !files.includes(file));
    expect(uncounted.length === 0, `not counted in the budget: ${uncounted.join(", ")}`);
    const never = files.filter((file) => !asked.includes(file));
    expect(never.length === 0, `counted, but not fetched: ${never.join(", ")}`);
    await axe(page);
    // What others keep in this origin is none of our business.
    await page.evaluate(() => caches.open("of-another-page"));
    await context.close();

    // No server, and a browser that has been closed.
    await site.stop();
    ({ context, page } = await open("#/calculator/drain"));
    await page.getByRole("heading", { level: 1, name: "Drain pipe capacity" }).waitFor();
    const verdict = () => page.locator("#verdict").innerText();
    const before = await verdict();
    await page.getByLabel("Most the pump can ever send here", { exact: true }).fill("9000 L/h");
    expect((await verdict()) !== before, "nothing is computed without a server");
    await visit(page, site.base, "#/demo/enlarged");
    await page.getByLabel("Name", { exact: true }).fill("At the far pond");
    await page.getByRole("button", { name: "Save", exact: true }).click();
    await page.locator(".notice", { hasText: "Saved: At the far pond." }).waitFor();
    await page.goto(`${site.base}index.html?from=home#/systems`);
    await page.getByRole("link", { name: "At the far pond" }).waitFor();
    await visit(page, site.base, "#/");
    await ready(page).waitFor();
    await context.close();

    // A new version is put there. It waits, and what is being typed is kept before it is used.
    const later = join(target, "e2e", "later");
    const { version, next } = await nextVersion(dist, later);
    site.folder = later;
    site.asked = [];
    await site.start();
    ({ context, page } = await open("#/calculator/drain"));
    const notice = page.locator(".notice", { hasText: "A new version is ready." });
    await notice.waitFor();
    await axe(page);
    const shown = () => page.evaluate(() => document.querySelector("meta[name=version]").content);
    await page.reload();
    await notice.waitFor();
    const waits = await page.evaluate(async () => (await navigator.serviceWorker.getRegistration()).waiting?.state);
    expect((await shown()) === version && waits === "installed", "the new version took over unasked");
    const again = site.asked.filter((file) => file.endsWith(".wasm"));
    expect(again.length === 0, "an update of one style sheet fetched the whole app again");
    const flow = page.getByLabel("Most the pump can ever send here", { exact: true });
    await flow.fill("7777 L/h");
    await Promise.all([page.waitForEvent("load"), notice.getByRole("button", { name: "Use it now" }).click()]);
    await page.waitForSelector("#app .skip", { state: "attached" });
    expect((await shown()) === next, "the new version is not in use");
    expect((await page.evaluate(() => getComputedStyle(document.documentElement).getPropertyValue("--release"))) === "next", "its style is not the new one");
    expect((await flow.inputValue()) === "7777", `what was being typed is lost: ${await flow.inputValue()}`);
    await visit(page, site.base, "#/systems");
    await page.getByRole("link", { name: "At the far pond" }).waitFor();
    expect((await notice.count()) === 0, "the notice is still there");
    const kept = await page.evaluate(() => caches.keys());
    expect(kept.includes("of-another-page"), "what another page keeps was deleted");
    expect(kept.length === 2 && kept.some((name) => name.endsWith(` ${next}`)), `the caches are ${kept.join(", ")}`);
    await context.close();

    // And the new one opens without a server too.
    await site.stop();
    ({ context, page } = await open("#/systems"));
    await page.getByRole("link", { name: "At the far pond" }).waitFor();
    await context.close();
    await site.start();

    // Where one file cannot be had, nothing is promised.
    allow(/404: .*180\.png/);
    site.folder = dist;
    site.missing.add("icons/180.png");
    for (const paper of [false, true]) {
      site.paper = paper;
      site.asked = [];
      await rm(profile, { recursive: true, force: true });
      ({ context, page } = await open());
      while (!site.asked.includes("icons/180.png")) await page.waitForTimeout(50);
      // A worker that could not fetch everything is given up.
      await page.waitForFunction(async () => !(await navigator.serviceWorker.getRegistration()), undefined, { polling: 100 });
      expect((await ready(page).count()) === 0, "it says that it is ready offline, and is not");
      await context.close();
    }
  } finally {
    await site.stop().catch(() => {});
  }
}
