import { discover } from "../routes.mjs";

export const name = "every screen that a link leads to exists, fits a phone, and has no fault that axe sees, in light and dark";

export async function run({ open, goto, axe, fits, expect, base }) {
  const page = await open();
  for (const route of await discover(page, base)) {
    await goto(page, route);
    expect(!(await page.innerText("main")).includes("nothing at this address"), `a link leads to ${route}, where nothing is`);
    await fits(page);
    for (const colorScheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme });
      await axe(page);
    }
  }
}
