import { readFile } from "node:fs/promises";
import { fillUp, makeRoom } from "../harness.mjs";

export const name = "what is kept: sheets under a name, files out and in, deleting with a way back, storage that is corrupt, full or of a later version";

export async function run({ open, goto, expect, axe, phone }) {
  const page = await open("#/calculator/bed", { size: phone });
  // A screen that follows another of its kind keeps what was unfolded.
  const unfold = async () => {
    const all = page.locator("details.fold", { hasText: "Save, open, print" }).last();
    if (!(await all.evaluate((e) => e.open))) await all.locator("summary").first().click();
  };
  const shelf = page.locator("details", { hasText: "Save, open, print" }).last();
  await page.getByLabel("Feed a day", { exact: true }).fill("80 g/day");
  await shelf.locator("summary").click();
  await page.getByLabel("Name", { exact: true }).fill("South bed");
  await page.getByRole("button", { name: "Save as", exact: true }).click();
  await page.getByRole("heading", { level: 1, name: "South bed" }).waitFor();
  expect(/#\/calculator\/bed\/./.test(page.url()), `a named sheet has no address: ${page.url()}`);
  await unfold();
  await axe(page);
  const back = await page.getByRole("link", { name: "To the working sheet" }).boundingBox();
  expect(back.height >= 44, `the way to the working sheet is ${back.height} px high`);

  // To a file and back.
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save as a file" }).click()]);
  expect(download.suggestedFilename() === "south-bed.json", `the file is called ${download.suggestedFilename()}`);
  const text = await readFile(await download.path(), "utf8");
  expect(JSON.parse(text).calculator === "bed", "the file is not of this calculator");
  const input = page.locator("input[type=file]");
  const give = (name, content) => input.setInputFiles({ name, mimeType: "application/json", buffer: Buffer.from(content) });
  await give("broken.json", text.slice(0, 40));
  await page.locator(".wrong", { hasText: "is cut short or damaged" }).waitFor();
  const changed = JSON.parse(text);
  changed.values.feed = 1e9;
  await give("wild.json", JSON.stringify(changed));
  await page.locator(".wrong", { hasText: /Feed a day: .*too large. Accepted: / }).waitFor();
  await give("large.json", "x".repeat(700 * 1024));
  await page.locator(".wrong", { hasText: "At most 640 KiB" }).waitFor();
  changed.values.feed = 5e-7;
  await give("good.json", JSON.stringify(changed));
  await page.locator(".notice", { hasText: "The file's values are in." }).waitFor();
  expect((await page.getByLabel("Feed a day", { exact: true }).inputValue()) === "43.2", "the file's value is not in the field");

  // Deleting, with a way back.
  await page.getByRole("button", { name: "Delete South bed" }).click();
  await page.locator(".notice").getByRole("button", { name: "Undo" }).click();
  await goto(page, "#/calculator/bed");
  await unfold();
  await page.getByRole("link", { name: "South bed" }).waitFor();

  // What cannot be read is kept aside and offered; what is newer is left alone.
  await page.evaluate(() => {
    localStorage.setItem("brimwise/draft/feed", "{ no longer JSON");
    localStorage.setItem("brimwise/system/later", JSON.stringify({ brimwise: 99, of: "tomorrow" }));
    localStorage.setItem("of-another-page", "not ours");
  });
  await page.reload();
  await goto(page, "#/calculator/feed");
  await page.locator(".banner", { hasText: "could not be read" }).waitFor();
  await axe(page);
  const [aside] = await Promise.all([page.waitForEvent("download"), page.locator(".banner").getByRole("button", { name: /as a file/ }).click()]);
  expect((await readFile(await aside.path(), "utf8")) === "{ no longer JSON", "what was put aside is not as it was found");
  await goto(page, "#/systems");
  await page.locator("li", { hasText: "later version" }).waitFor();
  const kept = await page.evaluate(() => [localStorage.getItem("brimwise/system/later"), localStorage.getItem("of-another-page")]);
  expect(kept[0] === '{"brimwise":99,"of":"tomorrow"}' && kept[1] === "not ours", "something was changed that is not ours to change");

  // Full: said at once, what was saved before stays, and work goes on.
  await page.evaluate(() => localStorage.setItem("brimwise/aside/old", JSON.stringify("y".repeat(9000))));
  await page.reload();
  await goto(page, "#/calculator/oxygen");
  await fillUp(page);
  const before = await page.evaluate(() => localStorage.getItem("brimwise/draft/bed"));
  await page.getByLabel("Water the fish live in", { exact: true }).fill("1234 L");
  await page.locator(".banner", { hasText: "Cannot save here" }).waitFor();
  await axe(page);
  expect((await page.evaluate(() => localStorage.getItem("brimwise/draft/bed"))) === before, "a full storage loses what was there");
  // What cannot be kept is said where it was pressed, and shown all the same.
  await goto(page, "#/systems");
  await page.getByRole("button", { name: "New system" }).click();
  await page.locator(".notice", { hasText: "There is no room to keep it here" }).waitFor();
  await page.getByRole("heading", { level: 1, name: "My system" }).waitFor();
  expect((await page.locator(".banner", { hasText: "From a link" }).count()) === 0, "what was made here is said to come from a link");
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await page.locator(".notice", { hasText: "There is no room to keep it here" }).waitFor();
  await goto(page, "#/systems");
  await page.getByRole("link", { name: "My system" }).waitFor();
  // What was refused is kept as soon as there is room.
  await page.getByRole("button", { name: "Delete it: old" }).click();
  await page.locator(".banner", { hasText: "Cannot save here" }).waitFor({ state: "detached" });
  const draft = await page.evaluate(() => JSON.parse(localStorage.getItem("brimwise/draft/oxygen")));
  expect(draft !== null && Math.abs(draft.values.volume - 1.234) < 1e-9, "what was refused is not kept once there is room");
  await goto(page, "#/calculator/oxygen");
  await makeRoom(page);
  await page.getByLabel("Water the fish live in", { exact: true }).fill("1235 L");
  await page.locator(".banner", { hasText: "Cannot save here" }).waitFor({ state: "detached" });
}
