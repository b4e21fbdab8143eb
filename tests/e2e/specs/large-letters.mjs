import { mkdir, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { lasting, target, unfoldAll } from "../harness.mjs";
import { besides, discover, guests } from "../routes.mjs";

export const name = "letters set twice as large in the browser, and the narrowest phone: no page scrolls sideways, folded or open";

/** Sizes of a page, and of the letters that its browser was told to use: WCAG 2.2, 1.4.10 (320 px) and 1.4.4 (200 %). */
const cases = [
  { width: 320, letters: 16 },
  { width: 360, letters: 32 },
];

export async function run({ base, adopt, goto, fits, expect }) {
  for (const { width, letters } of cases) {
    const profile = join(target, "e2e", "profile-letters");
    await rm(profile, { recursive: true, force: true });
    await mkdir(join(profile, "Default"), { recursive: true });
    const preferences = { webkit: { webprefs: { default_font_size: letters } } };
    await writeFile(join(profile, "Default", "Preferences"), JSON.stringify(preferences));
    const context = await adopt(await lasting(profile, { size: { width, height: 740 } }));
    const page = await context.newPage();
    const routes = await discover(page, base);
    const size = await page.evaluate(() => parseFloat(getComputedStyle(document.body).fontSize));
    expect(size === letters, `the letters are ${size} px large where ${letters} were asked for`);
    await page.locator(".units").click();
    for (const route of [...routes, ...besides, ...guests]) {
      await goto(page, route);
      await fits(page);
      await unfoldAll(page);
      await fits(page);
    }
    await context.close();
  }
}
