export const name = "typing: any unit, a bad value, undo, ways to measure, the keyboard alone, and nothing lost";

export async function run({ open, goto, expect, axe, fits, phone }) {
  const page = await open("#/calculator/drain", { size: phone });
  const verdict = () => page.locator("#verdict").innerText();
  const flow = page.getByLabel("Most the pump can ever send here", { exact: true });
  const first = await verdict();
  const box = page.locator(".field", { has: flow }).first();
  expect((await box.locator(".assumed").count()) === 1, "an untouched field is not marked as assumed");

  // A unit of the other system, understood and said back.
  await flow.fill("40 gal/min");
  await page.locator(".heard", { hasText: "= 9 080" }).waitFor();
  expect((await verdict()) !== first, "the verdict does not follow");
  expect((await box.locator(".assumed").count()) === 0, "a touched field is still marked as assumed");
  expect((await flow.inputValue()) === "40 gal/min", "the text is rewritten while it is typed");
  const good = await verdict();
  await flow.blur();
  expect((await flow.inputValue()) === "40", "the unit does not move to the unit beside it");
  expect((await page.getByLabel("Unit of Most the pump can ever send here").inputValue()) === "gal/min", "the unit is not the one typed");

  // The result stays in sight above what is typed into.
  await flow.scrollIntoViewIfNeeded();
  await page.evaluate(() => window.scrollBy(0, 600));
  const dock = await page.locator(".dock").boundingBox();
  expect(dock !== null && dock.y >= -1 && dock.y < 10, "the result is out of sight");
  expect(dock.height < 300, `the result takes ${dock.height} px of 800`);

  // A bad value: a sentence with the range, and the last good result.
  for (const [typed, sentence] of [
    ["1,234", /Could be 1.234 or 1234/],
    ["fast", /does not begin with a number/],
    ["9e9", /too large. Accepted: .* to /],
    ["-5", /too small. Accepted: /],
    ["", /Nothing is typed/],
    ["3 kg", /unit of mass/],
  ]) {
    await flow.fill(typed);
    const said = await box.locator(".wrong").innerText();
    expect(sentence.test(said), `“${typed}” is answered with “${said}”`);
    expect((await verdict()) === good, `“${typed}” changes the last good result`);
    expect((await page.locator(".dock.stale").count()) === 1, "the last good result is not marked as such");
    expect((await flow.getAttribute("aria-invalid")) === "true", "the field is not marked as wrong");
  }
  await axe(page);
  // What is refused stays refused when it is left, and when something else is taken over.
  await flow.fill("9e9 gal/h");
  await flow.blur();
  expect((await flow.inputValue()) === "9e9 gal/h" && /too large/.test(await box.locator(".wrong").innerText()), "leaving the field hides what is wrong with it");
  await flow.fill("9000 L/h");
  const another = page.locator(".inputs .form > .field .entry input").nth(1);
  const had = await another.inputValue();
  await another.fill("1,234");
  await page.getByRole("button", { name: /^Use: / }).first().click();
  await page.locator(".notice", { hasText: "Used: " }).waitFor();
  expect((await another.inputValue()) === "1,234" && (await page.locator(".field.bad").count()) === 1, "a repair hides what is wrong with another field");
  await page.locator(".notice").getByRole("button", { name: "Undo" }).click();
  await another.fill(had);
  await flow.fill("2400 L/h");
  await flow.press("Enter");
  expect(await page.evaluate(() => document.activeElement.id !== "f-flow" && document.activeElement.matches(".entry input")), "Enter does not go on to the next field");

  // A way to measure it.
  await box.locator("summary").click();
  await box.getByLabel("Water caught", { exact: true }).fill("12");
  await box.getByLabel("Time to fill it", { exact: true }).fill("18");
  await box.getByRole("button", { name: /^Use 2 400/ }).waitFor();
  await box.getByLabel("Time to fill it", { exact: true }).fill("24");
  // Changes of one field in quick succession are one step of undo; this is to be a step of its own.
  await page.waitForTimeout(1600);
  await box.getByRole("button", { name: /^Use 1 800/ }).click();
  expect((await flow.inputValue()) === "1800", `the measured flow is not in the field: ${await flow.inputValue()}`);
  await axe(page);

  // Undo and redo, by key and by button; and the unit switch.
  await page.getByRole("heading", { level: 1 }).focus();
  await page.keyboard.press("Control+z");
  expect((await flow.inputValue()) === "2400", "undo does not bring the number back");
  await page.keyboard.press("Control+Shift+z");
  expect((await flow.inputValue()) === "1800", "redo does not bring it again");
  await page.locator(".units").click();
  expect((await flow.inputValue()) === "475.5", `the field does not follow the unit switch: ${await flow.inputValue()}`);
  expect(/gal\/h/.test(await verdict()), "the verdict does not follow the unit switch");
  await page.locator(".units").click();

  // Nothing is lost by leaving, nor by a reload right after a key.
  await goto(page, "#/");
  await goto(page, "#/calculator/drain");
  expect((await flow.inputValue()) === "1800", "leaving the page loses the number");
  await flow.fill("1900");
  await page.reload();
  expect((await flow.inputValue()) === "1900", "a reload loses the number");

  // A number that is refused in the end counts for nothing, its first digit neither; what was meant is asked. None is none.
  await goto(page, "#/calculator/feed");
  const before = await verdict();
  const warm = page.getByLabel("Water temperature", { exact: true });
  await warm.fill("");
  await warm.pressSequentially("80");
  await page.locator(".field.bad .wrong", { hasText: "Is it 80 °F?" }).waitFor();
  expect((await verdict()) === before, "the first digit of a refused number is taken for the number");
  await goto(page, "#/calculator/heat");
  await page.getByLabel("Heaters you have", { exact: true }).fill("none");
  expect((await page.locator(".field.bad").count()) === 0, "“none” is not understood where there may be none");

  // By keyboard alone: skip link, a choice, a fold.
  await goto(page, "#/");
  await page.reload();
  await page.waitForSelector(".skip", { state: "attached" });
  await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  // Past the way to systems, to the first calculator.
  await page.keyboard.press("Tab");
  await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".calculator");
  const heading = await page.evaluate(() => document.activeElement?.tagName);
  expect(heading === "H1", `after following a link the focus is on ${heading}`);
  expect(/· Brimwise$/.test(await page.title()), `the page is called ${await page.title()}`);
  await fits(page);
}
