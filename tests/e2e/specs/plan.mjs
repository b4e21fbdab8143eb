export const name = "from nothing: a goal planned, made a system, driven over, repaired, compared, priced and proved";

export async function run({ open, expect, axe, fits, phone }) {
  const page = await open("", { size: phone });
  const verdict = () => page.locator("#verdict").innerText();
  const fold = (title) => page.locator("details.sheet", { has: page.locator("summary h2", { hasText: title }) });

  // A goal that the room cannot hold, and the nearest that it can.
  await page.getByRole("link", { name: "Plan one from a goal" }).click();
  await page.getByRole("heading", { level: 1, name: "Plan a system" }).waitFor();
  expect(/tanks of/.test(await verdict()), `the first goal is not planned: ${await verdict()}`);
  await page.locator("#f-fish").fill("90");
  await page.getByRole("heading", { name: "What can be planned" }).waitFor();
  expect(/room/.test(await verdict()), `it does not say that the room is too small: ${await verdict()}`);
  await axe(page);
  await fits(page);
  await page.getByRole("button", { name: /^Use: .* of fish a year/ }).click();
  await page.getByRole("heading", { name: "The plan" }).waitFor();
  // The goal is still there after a reload.
  const wanted = await page.locator("#f-fish").inputValue();
  await page.waitForTimeout(600);
  await page.reload();
  await page.getByRole("heading", { name: "The plan" }).waitFor();
  expect((await page.locator("#f-fish").inputValue()) === wanted, "the goal is lost");

  // A system of one's own; nothing is over.
  await page.getByRole("button", { name: "Make this system" }).click();
  await page.getByRole("heading", { level: 1, name: /Channel catfish/ }).waitFor();
  expect(/Enough everywhere|Enough in all that is checked|Nothing is over/.test(await verdict()), `a planned system is not enough: ${await verdict()}`);

  // Four times the fish drive it over.
  const tank = page.locator(".station").filter({ has: page.locator(".station-name", { hasText: "Fish tank 1" }) });
  await tank.locator("summary").first().click();
  const count = tank.getByLabel("How many", { exact: true }).first();
  const before = Number(await count.inputValue());
  await count.fill(String(before * 4));
  await page.locator(".chain").waitFor();

  // Before and after says what got worse.
  const compare = fold("Before and after");
  await compare.locator("summary").first().click();
  await compare.locator(".worse").first().waitFor();
  const told = await compare.innerText();
  expect(told.includes("How many") && told.includes(String(before)), `the change is not told: ${told}`);
  expect(/over now and not before/.test(told), "it does not say that something is over now");
  await fits(page);

  // A repair, and it is no longer over.
  await page.locator(".chain").getByRole("button", { name: /^Use it/ }).click();
  await page.locator(".chain").waitFor({ state: "detached" });

  // A price, and the sum.
  const parts = fold("Parts list");
  await parts.locator("summary").first().click();
  await parts.getByLabel(/^Price of Rubber seal/).first().fill("2,50");
  await parts.locator(".sum", { hasText: /In all: (2\.5|5|7\.5|10|12\.5)/ }).waitFor();
  await parts.getByLabel(/^Price of Sump/).fill("cheap");
  await parts.locator(".wrong", { hasText: "number" }).waitFor();
  await parts.getByLabel(/^Price of Sump/).fill("");

  // A bucket that fills slower than predicted sets the flow, and can be undone.
  const prove = fold("Fill and prove");
  await prove.locator("summary").first().click();
  const bucket = prove.locator(".proof", { hasText: "Bucket at Fish tank 1" });
  await bucket.getByLabel("It took").fill("35");
  await bucket.getByRole("button").click();
  await bucket.locator(".measured", { hasText: "Measured 35" }).waitFor();
  await axe(page);
  await fits(page);
  await page.locator(".notice").getByRole("button", { name: "Undo" }).click();
  await bucket.locator(".measured", { hasText: "Measured" }).waitFor({ state: "hidden" });

  // Prices are kept with the system.
  await page.waitForTimeout(600);
  await page.reload();
  await fold("Parts list").locator("summary").first().click();
  await page.locator(".sum", { hasText: "In all" }).waitFor();
}
