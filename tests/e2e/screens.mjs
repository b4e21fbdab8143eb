// Every screen at one size and in one light: no violation, no sideways scroll, folded and open.

import { unfoldAll } from "./harness.mjs";
import { besides, guests } from "./routes.mjs";

export async function screens({ open, goto, expect, axe, fits }, { size, dark, us = false }) {
  const page = await open("", { size, dark });
  if (us) await page.locator(".units").click();
  const links = await page.locator("main a").evaluateAll((all) => all.map((a) => a.getAttribute("href")));
  expect(links.length >= 10, `the first screen leads to ${links.length} places only`);
  const look = async (page) => {
    await fits(page);
    await unfoldAll(page);
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
