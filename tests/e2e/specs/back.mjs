export const name = "ways back: to the place in a list, to an address with nothing behind it, and from a step that a message names";

export async function run({ open, goto, expect, axe, phone, desk }) {
  const page = await open("#/", { size: phone });
  const link = page.getByRole("link", { name: /Running cost/ });
  await link.scrollIntoViewIfNeeded();
  await page.evaluate(() => window.scrollBy(0, 150));
  const far = await page.evaluate(() => scrollY);
  expect(far > 200, `the list is only ${far} px further down`);
  await link.click();
  await page.getByRole("heading", { level: 1, name: "Running cost" }).waitFor();
  await page.waitForFunction(() => document.activeElement?.tagName === "H1" && scrollY === 0);
  await page.goBack();
  await link.waitFor();
  await page.waitForFunction((far) => Math.abs(scrollY - far) < 2, far);
  expect((await page.evaluate(() => document.activeElement.getAttribute("href"))) === "#/calculator/running", "the focus is not on the link that led away");

  // The same where the list was not scrolled; but one's own way to the list begins at its top.
  const wide = await open("#/", { size: desk });
  const first = wide.getByRole("link", { name: /Will it spill/ });
  await first.focus();
  await wide.keyboard.press("Enter");
  await wide.waitForFunction(() => document.activeElement?.tagName === "H1" && document.querySelector("main.calculator"));
  await wide.goBack();
  await wide.waitForFunction(() => document.activeElement?.getAttribute("href") === "#/calculator/drain");
  await first.click();
  await wide.getByRole("link", { name: "Back to the list" }).click();
  await wide.waitForFunction(() => document.activeElement?.tagName === "H1" && document.querySelector("main.home"));

  // The short address of what came in a link, where nothing came.
  await goto(page, "#/linked");
  await page.locator(".verdict", { hasText: "Open that link itself" }).waitFor();
  await axe(page);

  // A message's Undo takes back the step that it names, or is gone.
  await goto(page, "#/demo/enlarged");
  await page.locator(".chain").getByRole("button", { name: /^Use it/ }).click();
  const used = page.locator(".notice", { hasText: "Used: " });
  await used.waitFor();
  await page.getByLabel("Name", { exact: true }).fill("Later");
  await used.waitFor({ state: "detached" });

  // What was deleted can be brought back from its message, also while something else is typed on the next screen.
  await goto(page, "#/systems");
  await page.getByRole("button", { name: /^Delete / }).first().click();
  const gone = page.locator(".notice", { hasText: "Deleted: " });
  await gone.waitFor();
  await page.evaluate(() => (location.hash = "#/calculator/drain"));
  await page.locator("#f-flow").fill("2000 L/h");
  await gone.getByRole("button", { name: "Undo" }).click();
  await goto(page, "#/systems");
  await page.getByRole("button", { name: /^Delete / }).first().waitFor();
  // A copy has a name of its own, and so has the next.
  await page.locator(".mine a").first().click();
  const named = async () => (await page.getByRole("heading", { level: 1 }).innerText()).trim();
  const names = [await named()];
  for (let n = 0; n < 2; n += 1) {
    const before = page.url();
    await page.getByRole("button", { name: "Save a copy" }).click();
    await page.waitForFunction((before) => location.href !== before, before);
    // The address changes before the page does.
    const last = names.at(-1);
    await page.waitForFunction((last) => document.querySelector("h1")?.innerText.trim() !== last, last).catch(() => {});
    names.push(await named());
  }
  expect(new Set(names).size === 3, `copies are called ${names.join(" | ")}`);

  // In a frame that is as high as what is in it, a message stands where the person looks.
  const guest = await open("#/embed/drain?flow=9000+L%2Fh", { size: { ...desk, height: 3000 } });
  await guest.getByRole("button", { name: /^Use: / }).first().click();
  const said = await guest.locator(".notice", { hasText: "Used: " }).boundingBox();
  const verdict = await guest.locator("#verdict").boundingBox();
  expect(said && Math.abs(said.y - verdict.y - verdict.height) < 60, `the message is at ${said?.y}, the verdict at ${verdict.y}`);
  expect(said.y + said.height < (await guest.evaluate(() => document.body.getBoundingClientRect().bottom)), "the message stands out of the frame");
}
