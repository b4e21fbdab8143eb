import { unfoldAll } from "../harness.mjs";

export const name = "what a practitioner would try first, typed into the page: a warm trough of catfish, trout when everything stops";

// The values and bands are those of tests/trials.rs.
export async function run({ open, expect, phone }) {
  const form = async (page) => {
    await unfoldAll(page);
    const input = (path) => page.locator(`#f-${path.replaceAll(".", "-")}`);
    return {
      type: (path, text) => input(path).fill(text),
      choose: async (path, id) => {
        const other = input(`${path}-${id}`);
        if (await page.locator(`select#f-${path.replaceAll(".", "-")}`).count()) await input(path).selectOption(id);
        else await ((await other.count()) ? other : input(path)).check();
        await unfoldAll(page);
      },
      /** A result as it stands in the list of all: its number, and a time in minutes. */
      result: async (label) => {
        const text = (await page.locator(".pairs tr", { has: page.locator("th", { hasText: new RegExp(`^${label}$`) }) }).first().locator("td").textContent()).replace(/[\u202f\u2009\u00a0]/g, "");
        const hours = Number(/([\d.]+) ?h\b/.exec(text)?.[1] ?? 0);
        const minutes = Number(/([\d.]+) ?min/.exec(text)?.[1] ?? 0);
        expect(/\d/.test(text), `“${label}” is “${text}”`);
        return hours || minutes ? 60 * hours + minutes : parseFloat(text);
      },
      bad: () => page.locator(".field.bad").count(),
    };
  };
  const within = (what, x, low, high) => expect(x >= low && x <= high, `${what}: ${x} is not within ${low} to ${high}`);

  // Too many fish in the heat.
  const warm = await open("#/calculator/oxygen", { size: phone });
  const a = await form(warm);
  await a.choose("fish.0.species", "catfish");
  await a.choose("fish.0.by", "number");
  await a.type("fish.0.count", "25");
  await a.type("fish.0.mass", "400 g");
  await warm.getByRole("button", { name: /^Add a / }).first().click();
  await a.choose("fish.1.species", "catfish");
  await a.choose("fish.1.by", "number");
  await a.type("fish.1.count", "30");
  await a.type("fish.1.mass", "150 g");
  for (const [path, text] of [["volume", "1100 L"], ["temperature", "28 C"], ["flow", "1500 L/h"], ["air_flow", "30 L/min"], ["air_depth", "0.5 m"]]) await a.type(path, text);
  await a.choose("limits", "own");
  await a.type("floor", "5 mg/L");
  expect((await a.bad()) === 0, "what was typed is not understood");
  await warm.locator(".dock .state.over").waitFor();
  within("peak demand, g/h", await a.result("Breathed here after the meal"), 6, 9);
  within("air needed, L/min", await a.result("Air that would just do"), 70, 180);
  // What is wrong with a field goes with it.
  await a.type("air_flow", "fast");
  await warm.locator(".dock.stale").waitFor();
  await a.choose("air", "none");
  expect((await warm.locator(".dock.stale").count()) === 0, "a field that is gone still needs another look");
  await a.choose("air", "stones");
  expect((await a.bad()) === 0, "a field comes back with an old complaint");

  // In the hills, everything off.
  const hill = await open("#/calculator/oxygen", { size: phone });
  const b = await form(hill);
  await b.choose("fish.0.species", "trout");
  await b.choose("fish.0.by", "number");
  await b.type("fish.0.count", "30");
  await b.type("fish.0.mass", "300 g");
  await b.choose("air", "none");
  await b.choose("reading", "now");
  await b.choose("limits", "own");
  for (const [path, text] of [["volume", "1400 L"], ["altitude", "700 m"], ["flow", "0"], ["floor", "5 mg/L"], ["stop", "5 mg/L"]]) await b.type(path, text);
  await hill.evaluate(() => dispatchEvent(new Event("pagehide")));
  const altitude = await hill.evaluate(() => JSON.parse(localStorage.getItem("brimwise/draft/oxygen")).values.altitude);
  expect(Math.abs(altitude - 700) < 1e-6, `700 m is understood as ${altitude} m`);
  for (const [t, reading, resting, fed] of [["12 C", "9 mg/L", [90, 200], null], ["19 C", "7.5 mg/L", [35, 75], [20, 35]]]) {
    await b.type("temperature", t);
    await b.type("reading_oxygen", reading);
    expect((await b.bad()) === 0, "what was typed is not understood");
    within(`unfed at ${t}, min`, await b.result("Everything off, fish unfed for a day"), ...resting);
    if (fed) within(`just fed at ${t}, min`, await b.result("Everything off, just fed"), ...fed);
  }
}
