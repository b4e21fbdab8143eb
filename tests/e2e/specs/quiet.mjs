import { join } from "node:path";
import { target, visitor, visit } from "../harness.mjs";
import { host, policyOf } from "../host.mjs";

export const name = "no request after the app is there: every screen, the main job, a link, a file and a reload of nothing";

export async function run({ adopt, browser, expect }) {
  const dist = join(target, "dist");
  const policy = await policyOf(dist);
  const site = await host(dist, { headers: () => ({ "content-security-policy": policy }) });
  try {
    const context = await adopt(await visitor(browser), site.base);
    const asked = [];
    context.on("request", (request) => asked.push(request.url()));
    const page = await context.newPage();
    page.setDefaultTimeout(10_000);
    await visit(page, site.base);
    await page.getByText("Ready offline", { exact: false }).waitFor();
    expect(asked.length > 5 && site.asked.length > 5, "the visit asked for nothing, so nothing is counted");
    await page.waitForLoadState("networkidle");
    asked.length = 0;
    site.asked.length = 0;

    // Every screen that the first one leads to, as a person goes there, folded and open, typed into.
    const links = await page.locator("main a[href^='#/']").evaluateAll((all) => all.map((a) => a.getAttribute("href")));
    expect(links.length >= 18, `the first screen leads to ${links.length} places only`);
    for (const link of new Set(links)) {
      await page.evaluate((to) => (location.hash = to), link);
      await page.waitForTimeout(60);
      await page.evaluate(() => document.querySelectorAll("details").forEach((d) => (d.open = true)));
      const number = page.locator("main input[inputmode]").first();
      if (await number.count()) {
        const was = await number.inputValue();
        await number.fill(`${was}1`);
        await number.fill(was);
      }
      await page.locator(".units").first().click();
    }

    // The main job: what goes over, its repair, a name, a save, a link, a file.
    await page.evaluate(() => (location.hash = "#/demo/enlarged"));
    await page.locator(".chain").getByRole("button", { name: /^Use it/ }).click();
    await page.locator(".chain").waitFor({ state: "detached" });
    await page.getByLabel("Name", { exact: true }).fill("Quiet trough");
    await page.getByRole("button", { name: "Save", exact: true }).click();
    await page.locator(".notice", { hasText: "Saved: Quiet trough." }).waitFor();
    await page.getByText("Share by link or code").first().click();
    await page.locator("#share-text").waitFor();
    await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save as a file" }).first().click()]);
    await page.waitForTimeout(1500);

    // What goes to a file or stays in the page is no request to anybody.
    const out = asked.filter((url) => !/^(blob|data):/.test(url));
    expect(out.length === 0, `the page asked for ${out.join(", ")}`);
    expect(site.asked.length === 0, `the server was asked for ${site.asked.join(", ")}`);
    await context.close();
  } finally {
    await site.stop();
  }
}
