import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { target } from "../harness.mjs";

export const name = "a first visit fetches no file that the size budget does not count, and is in the units of its region";

export async function run(ctx) {
  const { base, expect } = ctx;
  const page = await ctx.open();
  await page.waitForLoadState("networkidle");
  const { files } = JSON.parse(await readFile(join(target, "size.json"), "utf8"));
  const inside = (url) => decodeURIComponent(new URL(url).pathname.slice(new URL(base).pathname.length)) || "index.html";
  const fetched = new Set(ctx.requests.map(inside));
  const uncounted = [...fetched].filter((file) => !files.includes(file));
  expect(uncounted.length === 0, `not counted in the budget: ${uncounted.join(", ")}`);
  expect([...fetched].some((file) => file.endsWith(".wasm")), "the visit fetched no wasm, so it was no visit");

  // Units of the US where the browser speaks the English of the US, until the switch says otherwise; in a page around as well, unless it says which.
  const there = await ctx.open("#/calculator/drain", { locale: "en-US" });
  const units = async () => (await there.locator(".units").textContent()).trim();
  // What is still on its way when a page goes would count as a request that failed.
  const says = async (where, words) => {
    await there.locator(`${where} #verdict`, { hasText: words }).waitFor();
    await there.waitForLoadState("networkidle");
  };
  const [app, guest] = ["html:not(.guest)", "html.guest"];
  await says(app, "gal/h");
  expect((await units()).startsWith("gal"), `a visitor of the US finds ${await units()}`);
  await ctx.goto(there, "#/embed/drain");
  await says(guest, "gal/h");
  await ctx.goto(there, "#/embed/drain?units=metric");
  await says(guest, "L/h");
  await ctx.goto(there, "#/calculator/drain");
  await says(app, "gal/h");
  await there.reload();
  await says(app, "gal/h");
  await there.locator(".units").click();
  await there.reload();
  await says(app, "L/h");
  expect((await units()).startsWith("L"), `after the switch a visitor finds ${await units()}`);
}
