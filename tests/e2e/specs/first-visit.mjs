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
  expect((await units()).startsWith("gal"), `a visitor of the US finds ${await units()}`);
  await ctx.goto(there, "#/embed/drain");
  await there.locator("#verdict", { hasText: "gal/h" }).waitFor();
  await ctx.goto(there, "#/embed/drain?units=metric");
  await there.locator("#verdict", { hasText: "L/h" }).waitFor();
  await ctx.goto(there, "#/calculator/drain");
  await there.reload();
  await there.locator("#verdict", { hasText: "gal/h" }).waitFor();
  await there.locator(".units").click();
  await there.reload();
  await there.locator("#verdict", { hasText: "L/h" }).waitFor();
  expect((await units()).startsWith("L"), `after the switch a visitor finds ${await units()}`);
}
