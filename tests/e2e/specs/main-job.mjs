export const name = "the main job: a drain over, what that does to the oxygen, the repair, the name, and all of it still there after a reload";

/** The text of the level called `name` in the list of all levels. */
const level = (page, name) => page.locator(".checked", { hasText: name }).first().textContent();

export async function run({ open, expect, axe, fits, phone }) {
  const page = await open("", { size: phone });
  // From the first screen, as a newcomer would.
  await page.getByRole("link", { name: "Courtyard trough, enlarged" }).click();
  await page.getByRole("heading", { level: 1, name: "Courtyard trough, enlarged" }).waitFor();
  const verdict = () => page.locator("#verdict").innerText();
  expect(/spills/.test(await verdict()), `the verdict does not say that it spills: ${await verdict()}`);
  expect(/over/.test(await level(page, "Outlet of New tank")), "the outlet is not over");
  expect(/over/.test(await level(page, "Oxygen in New tank")), "the oxygen is not over at what the outlet leaves");
  const chain = await page.locator(".chain").innerText();
  for (const word of ["Outlet of New tank", "Throttled to", "Oxygen settles at", "Safe for"]) {
    expect(chain.includes(word), `the chain does not say “${word}”: ${chain}`);
  }
  await axe(page);
  await fits(page);

  // The repair at the end of the chain, with a way back.
  await page.locator(".chain").getByRole("button", { name: /^Use it/ }).click();
  await page.locator(".chain").waitFor({ state: "detached" });
  expect(!/over/.test(await level(page, "Outlet of New tank")), "the outlet is still over");
  expect(!/over/.test(await level(page, "Oxygen in New tank")), "the oxygen is still over");
  await axe(page);
  await page.locator(".notice").getByRole("button", { name: "Undo" }).click();
  await page.locator(".chain").waitFor();
  await page.getByRole("button", { name: "Redo" }).click();
  await page.locator(".chain").waitFor({ state: "detached" });

  // A name, and a save.
  await page.getByLabel("Name", { exact: true }).fill("Behind the shed");
  await page.getByRole("heading", { level: 1, name: "Behind the shed" }).waitFor();
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await page.locator(".notice", { hasText: "Saved: Behind the shed." }).waitFor();
  expect(/#\/system\//.test(page.url()), `a changed demo has no address of its own: ${page.url()}`);
  await page.reload();
  await page.getByRole("heading", { level: 1, name: "Behind the shed" }).waitFor();
  expect(!/over/.test(await level(page, "Outlet of New tank")), "the repair is lost");
  await page.getByRole("link", { name: "Back to the list" }).click();
  await page.getByRole("heading", { level: 1, name: "Systems" }).waitFor();
  await page.getByRole("link", { name: "Behind the shed" }).waitFor();
  // The demo itself is as it was.
  await page.getByRole("link", { name: "Courtyard trough, enlarged" }).click();
  await page.locator(".chain").waitFor();
}
