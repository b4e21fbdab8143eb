import { desk, launch, phone, serve, visit, visitor } from "./harness.mjs";
const server = await serve();
const browser = await launch();
const active = (page) => page.evaluate(() => { const a = document.activeElement; return `${a.tagName} ${a.getAttribute("aria-label") ?? ""} ${a.textContent.slice(0, 40)}`; });
try {
  for (const units of ["metric", "us"]) for (const [n, size] of [["phone", phone], ["desk", desk]]) for (const dark of [false, true]) {
    const localStorage = [{ name: "brimwise/setting/units", value: JSON.stringify(units) }];
    const context = await visitor(browser, { size, dark, storageState: { cookies: [], origins: [{ origin: new URL(server.base).origin, localStorage }] } });
    const page = await context.newPage();
    await visit(page, server.base, "#/demo/enlarged");
    await page.locator(".chain").getByRole("button", { name: /^Use it/ }).click();
    await page.locator("summary", { hasText: "Before and after" }).click();
    await page.locator(".differs").first().waitFor();
    await page.waitForTimeout(600);
    const sheet = page.locator("details", { has: page.locator("summary h2", { hasText: "Before and after" }) });
    await sheet.screenshot({ path: `/tmp/face/compare-${n}-${dark ? "dark" : "light"}-${units}.png` });
    await sheet.locator("select").selectOption({ label: "Hill trout (demo)" }).catch((e) => console.log(String(e)));
    await page.waitForTimeout(600);
    await sheet.screenshot({ path: `/tmp/face/compare2-${n}-${dark ? "dark" : "light"}-${units}.png` });
    await context.close();
  }
  const context = await visitor(browser, { size: desk });
  const page = await context.newPage();
  await visit(page, server.base, "#/systems");
  for (const name of ["One", "Two", "Three"]) {
    await page.getByRole("button", { name: "New system" }).click();
    await page.getByLabel("Name", { exact: true }).fill(name);
    await page.getByRole("button", { name: "Save", exact: true }).click();
    await page.waitForTimeout(500);
    await visit(page, server.base, "#/systems");
  }
  for (const name of ["Two", "One", "Three"]) {
    await page.getByRole("button", { name: `Delete ${name}` }).focus();
    await page.keyboard.press("Enter");
    await page.waitForTimeout(300);
    console.log("after delete", name, "|", await active(page));
  }
  await page.locator("summary", { hasText: "Recently deleted" }).click();
  for (const name of ["Two", "One", "Three"]) {
    const b = page.getByRole("button", { name: `Bring back ${name}` });
    await b.focus();
    await page.keyboard.press("Enter");
    await page.waitForTimeout(300);
    console.log("after bring back", name, "|", await active(page));
  }
  await visit(page, server.base, "#/calculator/drain");
  await page.getByText("Save, open, share, print").click();
  await page.getByRole("button", { name: "Save as", exact: true }).click();
  await page.waitForTimeout(500);
  await page.getByText("Save, open, share, print").click();
  await page.getByRole("button", { name: /^Delete / }).first().focus();
  await page.keyboard.press("Enter");
  await page.waitForTimeout(500);
  console.log("after delete sheet here |", await active(page));
  await page.getByText("Save, open, share, print").click();
  console.log(await page.locator(".kept").count());
} finally { await browser.close(); await server.close(); }
