import { unfoldAll } from "../harness.mjs";

export const name = "narrow places: no table of a calculator is cut, on the narrowest page and in a column of a wide one, in either unit system; nor what is chosen, nor a number";

export async function run({ open, goto, expect }) {
  const page = await open("#/", { size: { width: 1280, height: 800 } });
  const routes = await page.locator("main a[href^='#/calculator/']").evaluateAll((all) => all.map((a) => a.getAttribute("href")));
  expect(routes.length >= 10, `only ${routes.length} calculators`);
  for (const route of routes) {
    await goto(page, route);
    for (const width of [1280, 1280, 360, 360, 320, 320]) {
      await page.setViewportSize({ width, height: 800 });
      await unfoldAll(page);
      const cut = await page.locator(".wide").evaluateAll((all) => all.filter((e) => e.scrollWidth > e.clientWidth + 1).map((e) => `${e.getAttribute("aria-label")}: ${e.scrollWidth} px in ${e.clientWidth}`));
      expect(cut.length === 0, `${route} at ${width} px in ${await page.locator(".units").innerText()}: ${cut.join("; ")}`);
      await page.locator(".units").click();
    }
  }

  // What is chosen is read whole, and who works in inches finds inches first.
  const phone = await open("#/calculator/drain", { size: { width: 360, height: 800 } });
  await phone.locator(".units").click();
  for (const [route, first] of [["#/calculator/drain", "Sch 40"], ["#/calculator/heat", "Polyethylene"]]) {
    await goto(phone, "#/");
    await goto(phone, route);
    await unfoldAll(phone);
    const lists = await phone.locator(".entry select:not(.unit)").evaluateAll((all) =>
      all.map((list) => {
        const look = getComputedStyle(list);
        const letters = document.createElement("canvas").getContext("2d");
        letters.font = `${look.fontWeight} ${look.fontSize} ${look.fontFamily}`;
        letters.letterSpacing = look.letterSpacing;
        const arrow = 17;
        const room = list.clientWidth - parseFloat(look.paddingLeft) - parseFloat(look.paddingRight) - arrow;
        return { first: list.options[0].text, chosen: list.selectedOptions[0].text, room, wide: letters.measureText(list.selectedOptions[0].text).width };
      }),
    );
    expect(lists.some((list) => list.first.startsWith(first)), `${route}: no list begins with ${first}: ${JSON.stringify(lists)}`);
    const cut = lists.filter((list) => list.wide > list.room);
    expect(cut.length === 0, `${route}: ${JSON.stringify(cut)}`);
  }

  // A number and its unit stay in one line.
  await phone.setViewportSize({ width: 320, height: 800 });
  await goto(phone, "#/demo/enlarged");
  const broken = await phone.locator(".station summary .level-large").evaluateAll((all) => all.filter((e) => e.clientHeight > 1.8 * parseFloat(getComputedStyle(e).fontSize)).map((e) => e.textContent));
  expect(broken.length === 0, `these fall apart: ${broken.join(", ")}`);
}
