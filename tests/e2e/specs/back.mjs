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

  // In a frame that is as high as what is in it, a message stands where the person looks.
  const guest = await open("#/embed/drain?flow=9000+L%2Fh", { size: { ...desk, height: 3000 } });
  await guest.getByRole("button", { name: /^Use: / }).first().click();
  const said = await guest.locator(".notice", { hasText: "Used: " }).boundingBox();
  const verdict = await guest.locator("#verdict").boundingBox();
  expect(said && Math.abs(said.y - verdict.y - verdict.height) < 60, `the message is at ${said?.y}, the verdict at ${verdict.y}`);
  expect(said.y + said.height < (await guest.evaluate(() => document.body.getBoundingClientRect().bottom)), "the message stands out of the frame");
}
