import { join } from "node:path";
import { target, visit, visitor } from "../harness.mjs";
import { host } from "../host.mjs";

export const name = "in parts: an address fetches its own first, what comes late is waited for, and what cannot be had is said and tried again";

export async function run({ adopt, allow, browser, expect }) {
  // Parts are refused on purpose below.
  allow(/503|Failed to load resource|_\w+\.wasm: net::ERR_ABORTED/);
  const site = await host(join(target, "dist"));
  const part = (url) => /_(\w+)\.wasm$/.exec(url)?.[1];
  const visitorOf = async () => {
    const context = await adopt(await visitor(browser), site.base);
    const page = await context.newPage();
    page.setDefaultTimeout(10_000);
    return { context, page };
  };
  try {
    // All parts but those of the address are held back: it shows its answer all the same, and nothing in it breaks.
    const one = await visitorOf();
    const asked = [];
    const [, family] = /\bdrain:(\w+)/.exec(await (await fetch(site.base)).text());
    const own = ["bg", "app", "shared", family, "drain", "sheets"];
    let free;
    const freed = new Promise((then) => (free = then));
    await one.context.route("**/*.wasm", async (route) => {
      const name = part(route.request().url());
      asked.push(name);
      if (!own.includes(name)) await freed;
      await route.continue();
    });
    await visit(one.page, site.base, "#/calculator/drain");
    await one.page.locator("#verdict").waitFor();
    expect(own.every((name) => asked.slice(0, own.length).includes(name)), `first it asked for ${asked.slice(0, own.length)}`);
    const flow = one.page.getByLabel("Most the pump can ever send here", { exact: true });
    const before = await one.page.locator("#verdict").innerText();
    await flow.fill("200 L/h");
    await one.page.waitForFunction((before) => document.querySelector("#verdict").innerText !== before, before);
    await one.page.getByText("Save, open, print").click();
    await one.page.getByRole("button", { name: "Save as", exact: true }).click();
    await one.page.waitForTimeout(300);
    await one.page.goBack();
    await one.page.locator("#verdict").waitFor();
    await one.page.getByText("Save, open, print").click();
    await one.page.getByRole("button", { name: "Fill from a system" }).click();
    const filled = one.page.getByRole("button", { name: /^Courtyard trough, enlarged, / }).first();
    expect((await filled.count()) === 0, "the rest was not held back, so nothing was tried");
    // A screen of the rest waits, and its heading has the focus of whoever went there.
    await one.page.evaluate(() => (location.hash = "#/demo/enlarged"));
    await one.page.getByText("Fetching this part of the app.").waitFor();
    expect((await one.page.locator("h1").count()) === 1, "what waits has no heading");
    await one.page.waitForFunction(() => document.activeElement.tagName === "H1");
    free();
    await one.page.locator(".chain").waitFor();
    const held = await one.page.evaluate(() => document.activeElement.innerText);
    expect(held === "Courtyard trough, enlarged", `once what was waited for is there the focus is on ${held}`);
    // A list of what is kept follows when it can be read.
    await one.page.evaluate(() => (location.hash = "#/calculator/drain"));
    await one.page.locator("#verdict").waitFor();
    await one.page.getByText("Save, open, print").click();
    await one.page.locator(".kept").first().waitFor();
    await one.page.getByRole("button", { name: "Fill from a system" }).click();
    await filled.waitFor();
    await one.page.waitForLoadState("networkidle");
    await one.context.close();

    // In a page of others the answer stands there before the app does, in the place where it then stays and with the same words.
    {
      const { context, page } = await visitorOf();
      let free;
      const freed = new Promise((then) => (free = then));
      await context.route("**/*.wasm", async (route) => {
        if (["app", "sheets", "rest"].includes(part(route.request().url()))) await freed;
        await route.continue();
      });
      await page.goto(`${site.base}#/embed/drain?flow=900+L%2Fh&units=us`);
      const verdict = page.locator("#verdict");
      await verdict.waitFor();
      const seen = async () => [await page.locator(".dock").innerText(), await page.locator("h1").innerText(), JSON.stringify(await verdict.boundingBox())];
      const before = await seen();
      expect((await page.locator("input").count()) === 0, "nothing was held back, so nothing was tried");
      free();
      await page.getByLabel("Most the pump can ever send here", { exact: true }).waitFor();
      const after = await seen();
      expect(before.join() === after.join(), `first there stood ${before}, then ${after}`);
      await page.waitForLoadState("networkidle");
      await context.close();
    }

    // Without the part that every screen needs, the page itself says so.
    {
      const { context, page } = await visitorOf();
      await context.route("**/*_app.wasm", (route) => route.fulfill({ status: 503, body: "" }));
      await page.goto(site.base);
      await page.getByRole("alert").filter({ hasText: "could not be fetched" }).waitFor();
      await context.unroute("**/*_app.wasm");
      await page.getByRole("button", { name: "Try again" }).click();
      await page.waitForSelector("#app .skip", { state: "attached" });
      await page.waitForLoadState("networkidle");
      await context.close();
    }

    // A part that the server does not give is said, and had once it does.
    for (const [missing, address, there] of [
      ["drain", "#/calculator/drain", "#verdict"],
      ["shared", "#/embed/feed", "#verdict"],
      ["rest", "#/demo/courtyard", ".chain, #verdict"],
    ]) {
      const { context, page } = await visitorOf();
      await context.route(`**/*_${missing}.wasm`, (route) => route.fulfill({ status: 503, body: "" }));
      await visit(page, site.base, address);
      await page.getByText("This part of the app could not be fetched.").waitFor();
      await page.getByRole("button", { name: "Try again" }).click();
      await page.waitForTimeout(200);
      expect(await page.getByText("This part of the app could not be fetched.").isVisible(), `${missing}: not said the second time`);
      await context.unroute(`**/*_${missing}.wasm`);
      await page.getByRole("button", { name: "Try again" }).click();
      await page.locator(there).first().waitFor();
      const held = await page.evaluate(() => document.activeElement.tagName);
      expect(held === "H1", `${missing}: after what was tried again the focus is on ${held}`);
      await page.waitForLoadState("networkidle");
      await context.close();
    }

    // On a screen that is there, what needs the rest says so, and is done once it can be.
    const { context, page } = await visitorOf();
    await context.route("**/*_rest.wasm", (route) => route.fulfill({ status: 503, body: "" }));
    await visit(page, site.base, "#/");
    await page.getByRole("button", { name: "New system" }).click();
    const notice = page.locator(".notice", { hasText: "could not be fetched" });
    await notice.waitFor();
    await context.unroute("**/*_rest.wasm");
    await notice.getByRole("button", { name: "Try again" }).click();
    await page.getByLabel("Name", { exact: true }).waitFor();
    await page.waitForLoadState("networkidle");
    await context.close();
  } finally {
    await site.stop();
  }
}
