import { readFile } from "node:fs/promises";
import { fillUp, makeRoom } from "../harness.mjs";

export const name = "nothing lost: two tabs over one system, storage cleared, deleting and bringing back, everything in one file and back, a full storage, work of a later version";

export async function run({ open, goto, expect, axe, fits, phone }) {
  const page = await open("#/systems", { size: phone });
  const context = page.context();
  const tab = async (route) => {
    const other = await context.newPage();
    other.setDefaultTimeout(10_000);
    await goto(other, route);
    return other;
  };
  const kept = (where = page) => where.evaluate(() => Object.fromEntries(Object.entries(localStorage).filter(([key]) => key.startsWith("brimwise/"))));
  const systems = async () => Object.entries(await kept()).filter(([key]) => key.startsWith("brimwise/system/")).map(([key, text]) => [key, JSON.parse(text)]);
  const named = async () => (await systems()).map(([, { system }]) => system.name).sort();
  // What one tab keeps another sees a little later.
  const soon = async (holds) => {
    for (let n = 0; n < 50; n++) {
      if (holds(await named())) return true;
      await page.waitForTimeout(100);
    }
    return false;
  };
  const come = (...wanted) => soon((names) => JSON.stringify(names) === JSON.stringify(wanted));
  const holds = (name) => soon((names) => names.includes(name));
  const call = async (where, text) => {
    await where.getByLabel("Name", { exact: true }).first().fill(text);
    // Leaving keeps it at once.
    await where.evaluate(() => dispatchEvent(new Event("pagehide")));
  };

  // ---- Two tabs over one system: a notice, and both versions kept.
  await page.getByRole("button", { name: "New system" }).click();
  await page.getByRole("heading", { level: 1, name: "My system" }).waitFor();
  const route = new URL(page.url()).hash;
  const second = await tab(route);
  await call(page, "From the first tab");
  const banner = second.locator(".banner", { hasText: "Another tab has changed this" });
  await banner.waitFor();
  await axe(second);
  await fits(second);
  await call(second, "From the second tab");
  await second.locator(".notice", { hasText: "Both are kept" }).waitFor();
  await banner.waitFor({ state: "detached" });
  expect(new URL(second.url()).hash !== route, "the second version has the address of the first");
  expect(await come("From the first tab", "From the second tab, version 2"), `kept are ${await named()}`);
  // Both go on, each where it is, without another copy.
  await call(second, "Second");
  await call(page, "First");
  expect(await come("First", "Second"), `kept are ${await named()}`);
  // The other way: the tab that only looked takes what is there.
  await goto(second, route);
  await call(page, "First again");
  await second.getByRole("button", { name: "Show what is there now" }).click();
  await second.getByRole("heading", { level: 1, name: "First again" }).waitFor();
  expect((await second.locator(".banner").count()) === 0, "the notice stays after what is there was shown");

  // The same with a calculator's working sheet: the second version becomes a sheet with a name.
  await goto(page, "#/calculator/bed");
  await goto(second, "#/calculator/bed");
  const feed = (where) => where.getByLabel("Feed a day", { exact: true });
  await feed(page).fill("70 g/day");
  await page.evaluate(() => dispatchEvent(new Event("pagehide")));
  await second.locator(".banner", { hasText: "Another tab has changed this" }).waitFor();
  await feed(second).fill("90 g/day");
  await second.getByRole("heading", { level: 1, name: "Grow-bed ratio, version 2" }).waitFor();
  const draft = JSON.parse((await kept())["brimwise/draft/bed"]);
  expect(Math.abs(draft.values.feed * 86400 - 0.07) < 1e-9, `the first tab's feed is ${draft.values.feed}`);

  // ---- Deleted in another tab: said at once, and kept again when the person wants it.
  await goto(second, route);
  await goto(page, "#/systems");
  await page.getByRole("button", { name: "Delete First again" }).click();
  await second.locator(".banner", { hasText: "deleted or cleared in another tab" }).waitFor();
  await axe(second);
  await second.getByRole("button", { name: "Keep it again" }).click();
  await second.locator(".banner").waitFor({ state: "detached" });
  expect(await holds("First again"), "it was not kept again");

  // ---- Everything cleared by another tab or page: what is open is kept again.
  await page.evaluate(() => localStorage.clear());
  await second.locator(".notice", { hasText: "was cleared by another tab or page" }).waitFor();
  expect(await holds("First again"), "what was open is gone");
  // Cleared without a word, as from the browser's own settings: the next change keeps it, and says so.
  await second.evaluate(() => localStorage.clear());
  await call(second, "Here still");
  await second.locator(".notice", { hasText: "kept again" }).waitFor();
  expect(await come("Here still"), `kept are ${await named()}`);
  await second.close();

  // ---- Undo and redo across edits and deletion; deleted things come back, also after a reload.
  await goto(page, "#/systems");
  await goto(page, route);
  await page.getByLabel("Name", { exact: true }).first().fill("Edited");
  await page.getByRole("heading", { level: 1, name: "Edited" }).waitFor();
  await goto(page, "#/systems");
  await page.getByRole("button", { name: "Delete Edited" }).click();
  await page.locator(".notice", { hasText: "For 30 days" }).waitFor();
  await page.getByRole("button", { name: "Undo", exact: true }).first().click();
  await page.getByRole("link", { name: "Edited" }).waitFor();
  await page.keyboard.press("Control+Shift+z");
  await page.getByRole("link", { name: "Edited" }).waitFor({ state: "detached" });
  await page.keyboard.press("Control+z");
  await page.getByRole("link", { name: "Edited" }).click();
  await page.getByRole("heading", { level: 1, name: "Edited" }).waitFor();
  await page.locator(".steps-of").getByRole("button", { name: "Undo" }).click();
  await page.getByRole("heading", { level: 1, name: "Here still" }).waitFor();
  await page.locator(".steps-of").getByRole("button", { name: "Redo" }).click();
  await page.getByRole("heading", { level: 1, name: "Edited" }).waitFor();
  await goto(page, "#/systems");
  const before = (await kept())[`brimwise/system/${route.split("/").pop()}`];
  await page.getByRole("button", { name: "Delete Edited" }).click();
  await page.reload();
  await page.getByText("Recently deleted").click();
  await page.locator("li", { hasText: "system, deleted today" }).waitFor();
  await axe(page);
  await fits(page);
  await page.getByRole("button", { name: "Bring back Edited" }).click();
  await page.getByRole("link", { name: "Edited" }).waitFor();
  expect((await kept())[`brimwise/system/${route.split("/").pop()}`] === before, "what came back is not what was deleted");
  // For good only when it is asked for twice.
  await page.getByRole("button", { name: "Delete Edited" }).click();
  await page.locator("summary", { hasText: "Recently deleted" }).waitFor();
  if (!(await page.getByRole("button", { name: "Bring back Edited" }).isVisible())) await page.getByText("Recently deleted").click();
  await page.getByRole("button", { name: "Delete these for good" }).click();
  await page.getByRole("button", { name: "No, keep them" }).click();
  await page.getByRole("button", { name: "Bring back Edited" }).click();
  await page.getByRole("link", { name: "Edited" }).waitFor();
  expect((await page.evaluate(() => document.activeElement.id)) === "yours", "when the last came back, the focus went with the list");

  // ---- Everything in one file, cleared, and back to the letter.
  const later = '{"brimwise":99,"of":"tomorrow","n":1.00000000000000000001}';
  await page.evaluate((text) => localStorage.setItem("brimwise/system/later", text), later);
  await goto(page, "#/calculator/drain");
  await page.locator("#f-flow").fill("1234 L/h");
  await page.locator(".units").click();
  await goto(page, "#/");
  await page.locator(".remind", { hasText: "since the last download" }).waitFor();
  await axe(page);
  await goto(page, "#/systems");
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator(".sheet", { hasText: "Keep it safe" }).last().getByRole("button", { name: "Download everything" }).click()]);
  expect(/^brimwise-everything-\d{4}-\d\d-\d\d\.json$/.test(download.suggestedFilename()), `the file is called ${download.suggestedFilename()}`);
  const file = await readFile(await download.path(), "utf8");
  await page.getByText("no named sheet has changed since").waitFor();
  await goto(page, "#/");
  expect((await page.locator(".remind").count()) === 0, "a reminder stays after everything was downloaded");
  await goto(page, "#/systems");
  const all = await kept();
  const mine = Object.keys(all).filter((key) => !/\/(bin|setting\/(exported|asked|later))/.test(key));
  expect(mine.length >= 4 && all["brimwise/setting/units"] === '"us"', `only ${mine} is kept`);
  const fresh = await open("#/systems", { size: phone });
  const give = (text, where = fresh) => where.locator("label", { hasText: "Restore everything" }).locator("input").setInputFiles({ name: "all.json", mimeType: "application/json", buffer: Buffer.from(text) });
  await give(file.slice(0, file.length / 2));
  await fresh.locator(".wrong", { hasText: "not whole" }).waitFor();
  expect(Object.keys(await kept(fresh)).length === 0, "half a file has left something");
  await give(file);
  await fresh.locator("#restored", { hasText: `${mine.length - 1} came back.` }).waitFor();
  const there = await kept(fresh);
  for (const key of mine) expect(there[key] === all[key], `${key} is not what it was`);
  await fresh.locator(".units", { hasText: "gal" }).waitFor();
  await fresh.getByRole("link", { name: "Edited" }).waitFor();
  await give(file);
  await fresh.locator("#restored", { hasText: `${mine.length - 1} were here already.` }).waitFor();
  // What differs stands beside what is here.
  await fresh.evaluate((hash) => {
    const key = `brimwise/system/${hash.split("/").pop()}`;
    const there = JSON.parse(localStorage.getItem(key));
    there.system.water.hottest += 1;
    localStorage.setItem(key, JSON.stringify(there));
  }, route);
  await give(file);
  await fresh.locator("#restored", { hasText: "1 came back (beside what differs here: “Edited, version 2”)" }).waitFor();
  await fresh.getByRole("link", { name: "Edited, version 2" }).waitFor();
  await axe(fresh);
  await fits(fresh);
  // The file of everything is no system, and the other way round.
  await fresh.locator("label", { hasText: "Read a file" }).locator("input").setInputFiles({ name: "all.json", mimeType: "application/json", buffer: Buffer.from(file) });
  await fresh.locator(".wrong", { hasText: "“Restore everything” on the systems page takes it" }).waitFor();
  await give(before);
  await fresh.locator(".wrong", { hasText: "not a file of everything" }).waitFor();
  expect((await fresh.getByText(/The browser (has|has not|does not)/).count()) === 1, "nothing is said of what the browser promises");

  // ---- A later version's system: left as it is, offered as a file, from the list and at its own address.
  const line = page.locator("li", { hasText: "later version" });
  const [first] = await Promise.all([page.waitForEvent("download"), line.getByRole("button", { name: "Save as a file" }).click()]);
  expect((await readFile(await first.path(), "utf8")) === later, "the file is not what stands there");
  await goto(page, "#/system/later");
  await page.locator(".verdict", { hasText: "later version" }).waitFor();
  await axe(page);
  const [again] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save as a file" }).click()]);
  expect((await readFile(await again.path(), "utf8")) === later, "the file is not what stands there");
  expect((await kept())["brimwise/system/later"] === later, "it was changed");

  // ---- Full: what was deleted makes room, what is kept stays, and a cut-off entry without room for a second copy is not written over.
  await page.evaluate(() => localStorage.setItem("brimwise/draft/feed", '{"brimwise":2,"calculator":"feed","values":{"fish"'));
  await goto(page, "#/systems");
  await page.getByRole("button", { name: "Delete Edited" }).click();
  await fillUp(page);
  await goto(page, "#/calculator/oxygen");
  await page.getByLabel("Water the fish live in", { exact: true }).fill("1234 L");
  await page.evaluate(() => dispatchEvent(new Event("pagehide")));
  const full = await kept();
  expect(full["brimwise/draft/oxygen"] && !Object.keys(full).some((key) => key.includes("/bin/")), "what was deleted made no room");
  await fillUp(page);
  await goto(page, "#/calculator/feed");
  await page.locator(".notice", { hasText: "no room to keep it aside" }).waitFor();
  const [cut] = await Promise.all([page.waitForEvent("download"), page.locator(".notice").getByRole("button", { name: "Save as a file" }).click()]);
  expect((await readFile(await cut.path(), "utf8")) === full["brimwise/draft/feed"], "the file is not what stands there");
  await page.locator("main input[type=text]").first().fill("1");
  await page.evaluate(() => dispatchEvent(new Event("pagehide")));
  expect((await kept())["brimwise/draft/feed"] === full["brimwise/draft/feed"], "what could not be read was written over");
  await makeRoom(page);
  await page.reload();
  await page.locator(".banner", { hasText: "could not be read" }).waitFor();
  expect(JSON.parse((await kept())["brimwise/aside/draft-feed"]) === full["brimwise/draft/feed"], "what is kept aside is not as it was found");
}
