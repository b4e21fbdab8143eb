import { readFile } from "node:fs/promises";
import { fillUp, makeRoom } from "../harness.mjs";

export const name = "no room: what waits for it is shown when one comes back to it, is in every file, and is kept once there is room";

export async function run({ open, goto, expect, axe, phone }) {
  const page = await open("#/calculator/oxygen", { size: phone });
  const volume = page.getByLabel("Water the fish live in", { exact: true });
  const full = page.locator(".banner", { hasText: "Cannot save here" });
  const kept = (key) => page.evaluate((key) => JSON.parse(localStorage.getItem(key)), key);
  const oxygen = async () => (await kept("brimwise/draft/oxygen")).values.volume;
  const settled = () => page.waitForTimeout(700);
  await volume.fill("900 L");
  await goto(page, "#/systems");
  await page.getByRole("button", { name: "New system" }).click();
  await page.getByRole("heading", { level: 1, name: "My system" }).waitFor();
  const route = new URL(page.url()).hash;
  const key = `brimwise/system/${route.split("/").pop()}`;

  // ---- One comes back to what was typed, not to what was kept before; and what is typed then goes on from there.
  await goto(page, "#/calculator/oxygen");
  await fillUp(page);
  // Changes of one field in quick succession are one step of undo; this is to be a step of its own.
  await page.waitForTimeout(1600);
  await volume.fill("1234.5678 L");
  await full.waitFor();
  await goto(page, "#/");
  await goto(page, "#/calculator/oxygen");
  expect((await volume.inputValue()) === "1235", `what found no room is shown as ${await volume.inputValue()}`);
  await page.locator(".steps-of").getByRole("button", { name: "Undo" }).click();
  expect((await volume.inputValue()) === "900", `its steps are gone: ${await volume.inputValue()}`);
  await page.locator(".steps-of").getByRole("button", { name: "Redo" }).click();
  await settled();
  expect(Math.abs((await oxygen()) - 0.9) < 1e-9, "it was kept, so the storage is not full");

  // ---- The same for a system; and the list calls it as it is called now.
  await goto(page, route);
  await page.getByLabel("Name", { exact: true }).fill("Renamed without room for it in this browser");
  await settled();
  await goto(page, "#/systems");
  await page.getByRole("link", { name: "Renamed without room" }).waitFor();
  await axe(page);
  const take = async (button) => {
    const [file] = await Promise.all([page.waitForEvent("download"), button.click()]);
    return JSON.parse(await readFile(await file.path(), "utf8"));
  };
  const one = await take(page.getByRole("button", { name: /^Save as a file: Renamed without room/ }));
  expect(one.system.name === "Renamed without room for it in this browser", `the file from the list holds ${one.system.name}`);
  const all = await take(page.getByRole("button", { name: "Download everything" }));
  const entry = (key) => JSON.parse(all.entries[key.replace("brimwise/", "")]);
  expect(Math.abs(entry("brimwise/draft/oxygen").values.volume - 1.2345678) < 1e-9, "what waits for room is not in the file of everything");
  expect(entry(key).system.name === "Renamed without room for it in this browser", "a name that waits for room is not in the file of everything");
  await goto(page, route);
  await page.getByRole("heading", { level: 1, name: "Renamed without room" }).waitFor();

  // ---- Deleted, it is in the bin as it was seen last.
  await goto(page, "#/systems");
  await page.getByRole("button", { name: /^Delete Renamed without room/ }).click();
  await page.locator(".notice", { hasText: "Deleted: Renamed without room" }).getByRole("button", { name: "Undo" }).click();
  await page.getByRole("link", { name: "Renamed without room" }).waitFor();

  // ---- Room is made by another tab, while something else is on the screen: all is kept, and nothing is written over.
  await goto(page, "#/calculator/oxygen");
  const other = await page.context().newPage();
  await goto(other, "#/nothing");
  await makeRoom(other);
  await other.evaluate(() => localStorage.setItem("brimwise/setting/later", '"1"'));
  await full.waitFor({ state: "detached" });
  expect((await volume.inputValue()) === "1235", "the screen shows what was kept before");
  await page.getByLabel("Water temperature", { exact: true }).fill("21.5");
  await settled();
  expect(Math.abs((await oxygen()) - 1.2345678) < 1e-9, `kept is ${await oxygen()} m3`);
  expect((await kept(key)).system.name === "Renamed without room for it in this browser", "the name is not kept once there is room");
}
