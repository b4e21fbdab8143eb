// The screens, found as a visitor finds them: by following links from the first page.
import { visit } from "./harness.mjs";

const most = 60;

/** Screens that the first page does not lead to by one link. */
export const besides = ["#/site", "#/site/drain", "#/site/running"];

/** What stands in pages of others, each in a page of its own: as asked for, with a look of its own, with values that cannot be taken. */
export const guests = [
  "#/embed/drain?flow=2400+L%2Fh",
  "#/embed/oxygen?look=dark&accent=ffe000",
  "#/embed/bed?look=light&accent=808080",
  "#/embed/system?demo=enlarged",
  "#/embed/drain?flow=fast",
  "#/embed/nothing?x=1",
];

/** Every route that can be reached by links, the first page first. */
export async function discover(page, base) {
  const found = ["#/"];
  for (const route of found) {
    await visit(page, base, route);
    const links = await page.$$eval("a[href^='#/']", (links) => links.map((link) => link.getAttribute("href")));
    found.push(...new Set(links.filter((link) => !found.includes(link))));
    if (found.length > most) throw new Error(`more than ${most} screens: ${found.join(" ")}`);
  }
  return found;
}

/** A route as part of a file's name. */
export const fileName = (route) => route.replace(/[^a-z0-9]+/gi, "-").replace(/^-|-$/g, "") || "home";
