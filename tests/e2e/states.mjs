// Every state that a screen can be in, at one size and in one light: no violation, no sideways scroll.
import { readFile } from "node:fs/promises";
import { unfoldAll, visit, visitor } from "./harness.mjs";

export async function states({ open, goto, adopt, allow, browser, base, expect, axe, fits }, options) {
  const page = await open("", options);
  const look = async (of = page) => {
    await axe(of);
    await fits(of);
  };
  const unfold = () => unfoldAll(page, 3);
  const shout = (event) => page.evaluate((event) => dispatchEvent(new Event(event)), event);

  // The first screen once it is kept, and while a newer version waits.
  await shout("brimwise-offline");
  await page.getByText("Ready offline").waitFor();
  await shout("brimwise-newer");
  await page.getByText("A new version is ready.").waitFor();
  await look();
  await page.getByRole("button", { name: "Later" }).click();

  // A calculator: every field wrong that can be, every panel open, the way to measure, more rows, the working.
  await goto(page, "#/calculator/drain");
  await unfold();
  for (let i = 0; i < 2; i++) await page.getByRole("button", { name: /^Add a / }).first().click();
  await unfold();
  await look();
  const numbers = page.locator("main input[inputmode]:visible");
  const count = await numbers.count();
  expect(count > 5, `there are ${count} numbers only`);
  for (let i = 0; i < count; i++) await numbers.nth(i).fill(["fast", "9e9", "", "1,234", "-5"][i % 5]);
  await page.locator(".dock.stale").waitFor();
  expect((await page.locator(".field.bad").count()) > 5, "no faults are shown");
  await look();
  await page.emulateMedia({ media: "print" });
  await axe(page);
  await page.emulateMedia({ media: null });
  await goto(page, "#/calculator/stocking");
  await unfold();
  await page.getByRole("button", { name: "Fill from a system" }).click();
  await page.locator(".rest").getByRole("button", { name: /Courtyard trough, / }).first().click();
  await page.locator(".notice", { hasText: "Filled from" }).waitFor();
  await look();
  await page.emulateMedia({ media: "print" });
  await axe(page);
  await page.emulateMedia({ media: null });

  // A plan, one that cannot be, and what can be planned near it.
  await goto(page, "#/plan");
  await unfold();
  await look();
  await page.getByLabel("Fish harvested a year", { exact: true }).fill("200 kg");
  await page.getByLabel("Length of the room", { exact: true }).fill("2 m");
  await page.getByLabel("Width of the room", { exact: true }).fill("2 m");
  await page.getByText("Not possible").waitFor();
  expect((await page.locator(".field.bad").count()) === 0, "2 m is not understood");
  await look();

  // A system: over, repaired, changed into nonsense, everything open.
  await goto(page, "#/demo/enlarged");
  await page.locator(".chain").waitFor();
  await unfold();
  await look();
  await page.locator(".chain").getByRole("button", { name: /^Use it/ }).click();
  await page.locator(".notice", { hasText: "Used: " }).waitFor();
  await unfold();
  await look();
  await page.getByLabel("Water temperature today", { exact: true }).fill("99 C");
  await page.locator(".dock.stale").waitFor();
  await look();
  await page.emulateMedia({ media: "print" });
  await axe(page);
  await page.emulateMedia({ media: null });
  await page.getByLabel("Water temperature today", { exact: true }).fill("24 C");

  // A file whose name would be markup if anybody took it for that; and one with more faults than anybody reads.
  const evil = `<img src=x onerror=alert(1)>&amp;"'\u202e`;
  const shown = evil.replace("\u202e", "");
  await goto(page, "#/demo/courtyard");
  const [saved] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save as a file" }).click()]);
  const document = JSON.parse(await readFile(await saved.path(), "utf8"));
  document.system.name = evil;
  document.system.tanks[0].name = evil;
  const give = (content) => page.getByRole("button", { name: "Read a file" }).setInputFiles({ name: "evil.json", mimeType: "application/json", buffer: Buffer.from(content) });
  await goto(page, "#/systems");
  const many = { ...document, system: { ...document.system, ...Object.fromEntries(Array.from({ length: 3000 }, (_, i) => [`x${i}`, i])) } };
  await give(JSON.stringify(many));
  await page.locator(".wrong", { hasText: "more faults are not listed" }).waitFor();
  expect((await page.locator(".wrong").count()) <= 52, "a file fills the page with its faults");
  await page.getByLabel("A link or code that you were given").fill("A1");
  await page.getByRole("button", { name: "Open", exact: true }).click();
  await page.locator(".wrong", { hasText: "does not belong" }).waitFor();
  await look();
  await give("[".repeat(200_000));
  await page.locator(".wrong", { hasText: "nested too deeply" }).waitFor();
  await give(JSON.stringify(document));
  await page.getByRole("heading", { level: 1, name: shown }).waitFor();
  expect((await page.locator("main img").count()) === 0, "a name became markup");
  expect((await page.locator(".station-name", { hasText: shown }).count()) === 1, "a station's name is not shown as it is");
  expect((await page.title()).startsWith(shown), `the page is called ${await page.title()}`);
  await unfold();
  await look();

  // The same from a link, with the square; then in the list, deleted.
  const link = await page.locator("#share-text").inputValue();
  await goto(page, link.slice(link.indexOf("#")));
  await page.locator(".banner", { hasText: "From a link" }).waitFor();
  await page.getByRole("heading", { level: 1, name: shown }).waitFor();
  await unfold();
  await look();
  await goto(page, "#/systems");
  await page.getByRole("button", { name: `Delete ${shown}` }).click();
  await page.locator(".notice", { hasText: "Deleted" }).waitFor();
  await look();
  await goto(page, "#/C/AAAA");
  await page.getByRole("heading", { level: 1, name: "The link cannot be opened" }).waitFor();
  await look();

  // A screen that waits for its part of the app, and one whose part cannot be had.
  allow(/503|Failed to load resource|_rest\.wasm: net::ERR_ABORTED/);
  const late = await adopt(await visitor(browser, options));
  const slow = await late.newPage();
  let free;
  const freed = new Promise((then) => (free = then));
  await late.route("**/*_rest.wasm", async (route) => {
    await freed;
    await route.fulfill({ status: 503, body: "" });
  });
  await visit(slow, base, "#/");
  await slow.evaluate(() => (location.hash = "#/demo/enlarged"));
  await slow.getByText("Fetching this part of the app.").waitFor();
  await look(slow);
  free();
  await slow.getByText("This part of the app could not be fetched.").waitFor();
  await look(slow);
  await late.unroute("**/*_rest.wasm");
  await slow.getByRole("button", { name: "Try again" }).click();
  await slow.locator(".chain").waitFor();
  await slow.waitForLoadState("networkidle");
  await slow.close();

  // A guest with values that cannot be taken, and a path that leads nowhere, very deep.
  const guest = await open(`#/embed/drain?${"a.".repeat(1500)}x=1&flow=${encodeURIComponent(evil)}`, options);
  await guest.locator(".banner .wrong").first().waitFor();
  await look(guest);
  await guest.close();
  await page.close();
}
