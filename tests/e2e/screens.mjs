// Every screen at one size and in one light: no violation, no sideways scroll, folded and open.

import { besides, guests } from "./routes.mjs";

const fold = (page) => page.evaluate(() => document.querySelectorAll("details").forEach((d) => (d.open = true)));

export async function screens({ open, goto, expect, axe, fits }, { size, dark, us = false }) {
  const page = await open("", { size, dark });
  if (us) await page.locator(".units").click();
  const links = await page.locator("main a").evaluateAll((all) => all.map((a) => a.getAttribute("href")));
  expect(links.length >= 10, `the first screen leads to ${links.length} places only`);
  const look = async (page) => {
    await fits(page);
    // What is inside is made when it is first opened, and may be folded itself.
    for (let i = 0; i < 2; i++) {
      await fold(page);
      await page.waitForTimeout(50);
    }
    await axe(page);
    await fits(page);
  };
  for (const route of ["#/", "#/nothing/of/this/name", ...new Set(links), ...besides]) {
    await goto(page, route);
    await look(page);
  }
  for (const route of guests) {
    const page = await open(us ? route.replace("?", "?units=us&") : route, { size, dark });
    await look(page);
    await page.close();
  }
}
