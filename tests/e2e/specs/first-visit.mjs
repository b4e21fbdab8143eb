import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { target } from "../harness.mjs";

export const name = "a first visit fetches no file that the size budget does not count";

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
}
