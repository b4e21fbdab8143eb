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
  await goto(page, "#/calculator/siphon");
  const inflow = page.getByLabel("Water that flows in", { exact: true });
  const bucket = page.locator(".field", { has: inflow }).first();
  await inflow.fill("2400 L/h");
  await bucket.locator("summary").click();
  await bucket.getByLabel("Water caught", { exact: true }).fill("12");
  await bucket.getByLabel("Time to fill it", { exact: true }).fill("18");
  await bucket.getByRole("button", { name: /^Use 2 400/ }).waitFor();
  await bucket.getByLabel("Time to fill it", { exact: true }).fill("24");
  // Changes of one field in quick succession are one step of undo; this is to be a step of its own.
  await page.waitForTimeout(1600);
  await bucket.getByRole("button", { name: /^Use 1 800/ }).click();
  expect((await inflow.inputValue()) === "1800", `the measured flow is not in the field: ${await inflow.inputValue()}`);
  await axe(page);

  // Undo and redo, by key and by button; and the unit switch.
  await page.getByRole("heading", { level: 1 }).focus();
  await page.keyboard.press("Control+z");
  expect((await inflow.inputValue()) === "2400", "undo does not bring the number back");
  await page.keyboard.press("Control+Shift+z");
  expect((await inflow.inputValue()) === "1800", "redo does not bring it again");
  await page.locator(".units").click();
  expect((await inflow.inputValue()) === "475.5", `the field does not follow the unit switch: ${await inflow.inputValue()}`);
  expect(/gal\/h/.test(await verdict()), "the verdict does not follow the unit switch");
  await page.locator(".units").click();

  // Who sets a field sets it, even to what it was: no text that is refused stays in it.
  const anew = async (what, to) => {
    expect((await inflow.inputValue()) === to, `${what}, a refused text stands as ${await inflow.inputValue()}`);
    expect((await page.locator(".field.bad, .dock.stale").count()) === 0, `${what}, a fault stays`);
  };
  await inflow.fill("abc");
  await bucket.getByRole("button", { name: /^Use 1 800/ }).click();
  await anew("after a flow that was measured again", "1800");
  const keep = page.locator("details.fold", { hasText: "Save, open, print" }).last();
  await keep.locator("summary").first().click();
  await keep.getByRole("button", { name: "Fill from a system" }).click();
  const source = keep.getByRole("button", { name: /^Classroom rig, / }).first();
  await source.click();
  const filled = await inflow.inputValue();
  await inflow.fill("abc");
  await source.click();
  await anew("filled again", filled);
  await keep.getByRole("button", { name: "Start afresh" }).click();
  const fresh = await inflow.inputValue();
  await inflow.fill("abc");
  await keep.getByRole("button", { name: "Start afresh" }).click();
  await anew("started afresh", fresh);
  await goto(page, "#/calculator/drain");
  await flow.fill("1800 L/h");
  await goto(page, "#/calculator/oxygen");
  await page.getByRole("button", { name: "Add a group" }).first().click();
  const weight = (n) => page.locator(`[id^="f-"][id$="-${n}-mass"], [id^="f-"][id$="-${n}-biomass"]`).first();
  const heavy = await weight(0).inputValue();
  await weight(1).fill(heavy);
  await weight(0).fill("abc");
  await page.getByRole("button", { name: /^Remove .* 1$/ }).first().click();
  await page.waitForFunction(() => !document.querySelector(".field.bad"));
  expect((await weight(0).inputValue()) === heavy, `a row that is gone leaves ${await weight(0).inputValue()}`);
  await goto(page, "#/calculator/drain");

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

  // A price is read like any number: what is refused counts for nothing, and stays with its sentence whatever else is typed.
  await goto(page, "#/demo/courtyard");
  await page.locator("summary", { hasText: "Parts list" }).click();
  const prices = page.locator(".buy");
  const priced = (n) => prices.nth(n).locator("input");
  await priced(0).click();
  await page.keyboard.type("1,250");
  const asked = prices.nth(0).locator(".wrong", { hasText: "Could be 1.25 or 1250" });
  await asked.waitFor();
  await page.locator(".sum", { hasText: "No prices yet" }).waitFor();
  // A point may part thousands too.
  await priced(0).fill("1.250");
  await prices.nth(0).locator(".wrong", { hasText: "Type 1.25 or 1250" }).waitFor();
  await priced(0).fill("1,250");
  await asked.waitFor();
  await priced(1).fill("5");
  await page.locator(".sum", { hasText: /In all: / }).waitFor();
  await asked.waitFor();
  expect((await priced(0).inputValue()) === "1,250", `a refused price reads ${await priced(0).inputValue()}`);
  await priced(0).fill("1250");
  expect((await asked.count()) === 0 && (await priced(1).inputValue()) === "5", "a good price leaves a complaint, or changes another");
}
