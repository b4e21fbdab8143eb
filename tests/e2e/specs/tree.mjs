import { unfoldAll } from "../harness.mjs";
import { guests } from "../routes.mjs";

export const name = "what a screen reader finds: headings in order, a name for every control, landmarks, and a summary said once, when things have settled";

const controls = ["button", "link", "textbox", "searchbox", "combobox", "listbox", "radio", "checkbox", "switch", "slider", "spinbutton", "DisclosureTriangle", "tab", "menuitem"];

export async function run({ open, goto, expect, phone }) {
  const page = await open("", { size: phone });

  /** The tree as assistive technology gets it: role, name, description and properties of everything that is not left out. */
  const tree = async (of) => {
    const cdp = await of.context().newCDPSession(of);
    await cdp.send("Accessibility.enable");
    const { nodes } = await cdp.send("Accessibility.getFullAXTree");
    await cdp.detach();
    return nodes
      .filter((n) => !n.ignored)
      .map((n) => ({
        role: n.role?.value ?? "",
        name: (n.name?.value ?? "").trim(),
        description: n.description?.value ?? "",
        ...Object.fromEntries((n.properties ?? []).map((p) => [p.name, p.value.value])),
      }));
  };
  const look = async (of, where, { guest = false, unfolded = false } = {}) => {
    const all = await tree(of);
    const roles = (role) => all.filter((n) => n.role === role);
    const headings = roles("heading");
    const outline = headings.map((h) => `${h.level} ${h.name}`).join(" | ");
    expect(headings.every((h) => h.name), `${where}: a heading without words: ${outline}`);
    expect(headings.filter((h) => h.level === 1).length === 1 && headings[0].level === 1, `${where}: the title is not first and alone: ${outline}`);
    headings.forEach((h, i) => expect(i === 0 || h.level <= headings[i - 1].level + 1, `${where}: “${h.name}” skips a level: ${outline}`));
    const nameless = all.filter((n) => [...controls, "image", "img", "region", "figure"].includes(n.role) && !n.name && n.role !== "figure");
    expect(nameless.length === 0, `${where}: without a name: ${JSON.stringify(nameless)}`);
    expect((await of.locator("table.pairs:not([aria-label])").count()) === 0, `${where}: a table of names and values without a name`);
    const buttons = roles("button").map((b) => b.name);
    const twice = buttons.filter((b, i) => buttons.indexOf(b) !== i);
    // Unfolded, every station has the buttons of its own parts, under its own heading.
    expect(twice.length === 0 || unfolded, `${where}: several buttons are called ${twice.join(", ")}`);
    expect(roles("main").length === 1, `${where}: there are ${roles("main").length} main parts`);
    expect(roles("banner").length === 1 || guest, `${where}: the bar is no landmark`);
    const status = roles("status");
    expect(status.length === 1 && status[0].live === "polite", `${where}: the summary is not said politely: ${JSON.stringify(status)}`);
    return all;
  };

  const links = await page.locator("main a").evaluateAll((all) => all.map((a) => a.getAttribute("href")));
  expect(links.length >= 10, `the first screen leads to ${links.length} places only`);
  for (const route of ["#/", "#/nothing", ...new Set(links), "#/site/drain"]) {
    await goto(page, route);
    await look(page, route);
    // Unfolded, with what is made only then.
    await unfoldAll(page);
    await look(page, `${route}, unfolded`, { unfolded: true });
  }
  for (const route of guests) {
    const guest = await open(route);
    await look(guest, route, { guest: true });
    await guest.close();
  }

  // What is said while somebody types.
  const hear = () =>
    page.evaluate(() => {
      window.heard = [];
      const say = (e) => {
        const live = e?.closest?.("[role=status], [role=alert], [aria-live]");
        if (live) window.heard.push(live.textContent.trim());
      };
      window.ears?.disconnect();
      window.ears = new MutationObserver((all) => all.forEach((m) => say(m.target.nodeType === 1 ? m.target : m.target.parentElement)));
      window.ears.observe(document.body, { subtree: true, childList: true, characterData: true });
    });
  const heard = () => page.evaluate(() => window.heard.filter((t) => t));
  await goto(page, "#/calculator/drain");
  const flow = page.getByLabel("Most the pump can ever send here", { exact: true });
  const type = async (text) => {
    await flow.focus();
    await page.keyboard.press("Control+a");
    await hear();
    await page.keyboard.type(text, { delay: 50 });
    const during = await heard();
    expect(during.length === 0, `said while “${text}” is typed: ${JSON.stringify(during)}`);
    await page.waitForTimeout(1500);
    return heard();
  };
  const verdict = () => page.locator("#verdict").innerText();
  let said = await type("9000 L/h");
  expect(said.length === 1 && /over/.test(said[0]) && said[0].includes((await verdict()).slice(0, 30)), `after a change of the level: ${JSON.stringify(said)}`);
  said = await type("fast");
  expect(said.length === 1 && /begin with a number/.test(said[0]) && /Accepted/.test(said[0]), `after a value that cannot be taken: ${JSON.stringify(said)}`);
  const wrong = (await tree(page)).find((n) => n.role === "textbox" && n.name === "Most the pump can ever send here");
  expect(wrong?.invalid === "true" && /Accepted/.test(wrong.description), `the field does not say what is wrong with it: ${JSON.stringify(wrong)}`);
  said = await type("9000 L/h");
  expect(said.length === 1 && /over/.test(said[0]), `after it was put right: ${JSON.stringify(said)}`);
  said = await type("9000 L/h");
  expect(said.length === 0, `said again, and nothing has changed: ${JSON.stringify(said)}`);

  // A fault that is gone before the typing has settled is not told.
  await goto(page, "#/site/drain");
  await page.locator("#accent").focus();
  await hear();
  await page.keyboard.type("#1d7186", { delay: 60 });
  await page.waitForTimeout(1500);
  said = await heard();
  expect(said.length === 0, `after a good colour: ${JSON.stringify(said)}`);
  await page.keyboard.type("x");
  await page.waitForTimeout(1500);
  said = await heard();
  expect(said.length === 1 && /six digits/.test(said[0]), `after a colour that is none: ${JSON.stringify(said)}`);

  // A repair of a whole system: the message, then the new verdict, in one go.
  await goto(page, "#/demo/enlarged");
  await page.locator(".chain").waitFor();
  await hear();
  await page.locator(".chain").getByRole("button", { name: /^Use it/ }).click();
  await page.waitForTimeout(1600);
  said = await heard();
  expect(said.length === 1 && /^Used: .+\. ./.test(said[0]) && said[0].includes((await verdict()).slice(0, 30)), `after a repair: ${JSON.stringify(said)}`);
}
