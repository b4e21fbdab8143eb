export const name = "the whole loop on a phone: a new system gets a curve and pipes, a siphon, a sump's size, heat and a water test, and another way for its water";

export async function run({ open, expect, axe, fits, phone }) {
  const page = await open("#/systems", { size: phone });
  await page.getByRole("button", { name: "New system" }).click();
  await page.locator(".loop").waitFor();
  const station = (name) =>
    page.locator(".station").filter({ has: page.locator(".station-name", { hasText: new RegExp(`^${name}$`) }) });
  const opened = async (name) => {
    const one = station(name);
    await one.locator("summary").first().click();
    await one.locator(".form").first().waitFor();
    return one;
  };
  const levels = () => page.locator(".checks").textContent();
  const now = async (words) => {
    await page.waitForFunction((words) => document.querySelector(".checks")?.textContent.includes(words), words);
  };

  // Nothing that nobody said is checked.
  for (const word of ["Lift", "Siphon", "Heating", "Room in Sump", "Un-ionised"]) {
    expect(!(await levels()).includes(word), `“${word}” is checked and nobody said anything of it`);
  }

  // The pump's curve alone leaves the set flows, and takes over the number on the box; with the pipe of its branch the flow is worked out.
  const pump = await opened("Pump");
  await pump.getByRole("button", { name: "Add a curve and main pipe" }).click();
  await pump.getByText(/can send 2.000.L\/h.*not every pipe is known/).first().waitFor();
  await pump.getByRole("button", { name: "Add a pipe" }).click();
  await now("Lift of Pump");
  await pump.locator(".station-line", { hasText: /sends .* against/ }).waitFor();
  await pump.locator("summary").first().click();

  const bed = await opened("Grow bed");
  await bed.getByRole("button", { name: "Add a siphon" }).click();
  await now("Siphon inflow of Grow bed");
  expect(/floods and drains in|comes in/.test(await bed.locator(".station-line").first().innerText()), "the bed's line is gone");
  await bed.locator(".vessel").waitFor();
  await bed.locator("summary").first().click();

  const sump = await opened("Sump");
  await sump.getByRole("button", { name: "Add a size and fill mark" }).click();
  await now("Room in Sump when the pump stops");
  await sump.locator(".stands", { hasText: "when the pump stops" }).waitFor();
  await sump.locator("summary").first().click();

  await page.getByRole("button", { name: "Add a heater and climate" }).click();
  await now("Heating on the coldest night");
  await page.getByRole("button", { name: "Add a water test and filter" }).click();
  await now("Ammonia carried to the biofilter");
  await axe(page);
  await fits(page);

  // A second tank behind the first: water led from one to the other, and not from the pump any more.
  await page.getByRole("button", { name: "Add a fish tank" }).click();
  await station("Fish tank 2").waitFor();
  const tank = await opened("Fish tank");
  await tank.locator("summary", { hasText: "Send its water elsewhere too" }).click();
  await tank.getByRole("button", { name: "To Fish tank 2" }).click();
  await station("Fish tank").locator(".onward", { hasText: "to Fish tank 2" }).waitFor();
  await page.locator(".notice").getByRole("button", { name: "Undo" }).click();
  await station("Fish tank").locator(".onward", { hasText: "to Fish tank 2" }).waitFor({ state: "detached" });

  // What cannot run is not done, and says why.
  const settler = await opened("Settler");
  await settler.getByRole("button", { name: /^Disconnect / }).click();
  await page.locator(".notice", { hasText: "no water" }).waitFor();
  await axe(page);
  await fits(page);

  // Where a station goes, the focus goes to its neighbour, where it is seen.
  await settler.getByRole("button", { name: /^Take this station out/ }).focus();
  await page.keyboard.press("Enter");
  await station("Settler").waitFor({ state: "detached" });
  await page.waitForFunction(() => {
    const held = document.activeElement;
    const { top, bottom } = held.getBoundingClientRect();
    return held.matches(".station summary") && bottom > 0 && top < innerHeight;
  });

  // What only a test of the water can say is not written by a button: what to do is told, and the readings stay.
  const ill = await open("#/demo/courtyard", { size: phone });
  const tan = ill.locator("#f-ammonia-0-tan");
  await ill.locator("#f-ammonia-0-ph").fill("8");
  await tan.fill("2 mg/L");
  const cure = ill.locator(".chain .link", { hasText: "Change a third of the water" });
  await cure.getByText("Do it, then note what you read", { exact: false }).waitFor();
  await cure.getByText("Feed nothing", { exact: false }).waitFor();
  expect((await cure.getByRole("button").count()) === 0, "a change of water that nobody made can be used");
  await axe(ill);
  await fits(ill);
}
