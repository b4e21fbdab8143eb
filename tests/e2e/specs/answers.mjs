export const name = "what is asked of a whole system: opened, worked out, followed when something changes, and a number to measure found from it";

export async function run({ open, expect, axe, fits, phone }) {
  const page = await open("", { size: phone });
  await page.getByRole("link", { name: "Courtyard trough, enlarged" }).click();
  await page.getByRole("heading", { level: 1, name: "Courtyard trough, enlarged" }).waitFor();

  const fold = (title) => page.locator("details.fold", { has: page.getByRole("heading", { level: 2, name: title }) });
  const titles = ["What this system can carry", "Worst days", "Measure these first", "As the fish grow"];
  for (const title of titles) {
    expect((await fold(title).getAttribute("open")) === null, `“${title}” is not closed at first`);
    // By the keyboard, as all of it can be.
    await fold(title).locator("summary").focus();
    await page.keyboard.press("Enter");
    await fold(title).locator("li").first().waitFor();
  }
  const text = (title) => fold(title).innerText();
  expect(/Most fish[\s\S]*goes over/.test(await text(titles[0])), `no limit of the fish: ${await text(titles[0])}`);
  expect(/Coldest water[\s\S]*(spills|runs dry) after/.test(await text(titles[1])), `no worst days: ${await text(titles[1])}`);
  expect(/moves/.test(await text(titles[2])), `nothing to measure: ${await text(titles[2])}`);
  expect(/reach harvest in \d+/.test(await text(titles[3])), `no date of the harvest: ${await text(titles[3])}`);
  await axe(page);
  await fits(page);

  // A change is followed.
  const before = await text(titles[0]);
  await page.locator(".chain").getByRole("button", { name: /^Use it/ }).click();
  await page.waitForFunction(
    ([title, before]) =>
      [...document.querySelectorAll("details.fold")].some((d) => d.querySelector("h2")?.innerText === title && d.innerText !== before),
    [titles[0], before],
  );

  // A number to measure leads to its field, wherever that is folded away: the last one's station was never opened.
  const go = fold(titles[2]).getByRole("button").last();
  const what = (await go.getAttribute("aria-label")).split(": ").pop();
  await go.click();
  const field = () => page.evaluate(() => document.activeElement?.closest(".field")?.innerText ?? "");
  await page.waitForFunction(() => document.activeElement?.closest(".field")).catch(() => {});
  expect((await field()).toLowerCase().includes(what.toLowerCase()), `“${what}” leads to “${await field()}”`);
}
