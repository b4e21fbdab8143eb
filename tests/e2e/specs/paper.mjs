import { readFile } from "node:fs/promises";

export const name = "on paper and in a table: one or two pages of A4 or Letter, all of it readable in any light; CSV files that compute nothing";

/** How many pages a PDF has. */
const pagesOf = (pdf) => [...pdf.toString("latin1").matchAll(/\/Type\s*\/Page\b(?!s)/g)].length;

/** Rows of a CSV file as RFC 4180 has them. */
function rowsOf(csv) {
  const rows = [[]];
  const field = /(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n|$)/y;
  while (field.lastIndex < csv.length) {
    const at = field.lastIndex;
    const found = field.exec(csv);
    if (!found) throw new Error(`no field at ${at}: ${csv.slice(at, at + 60)}`);
    rows.at(-1).push(found[1] === undefined ? found[2] : found[1].replaceAll('""', '"'));
    if (found[3] === "\r\n") rows.push([]);
  }
  if (rows.pop().length) throw new Error("the last row has no end");
  return rows;
}

export async function run(ctx) {
  const { open, goto, expect, axe, desk, phone } = ctx;
  const sheets = ["A4", "Letter"];
  const unfold = (page, text) => page.locator("summary", { hasText: text }).first().click();

  /** What a print of the page holds, its text, and that nothing of it stays on the screen. */
  async function printed(page, most, wanted, schemes = ["light", "dark"]) {
    const hash = new URL(page.url()).hash;
    // The browser's own command, as the page hears of it: the paper must be there when it is laid out.
    await page.evaluate(() => {
      window.papers = 0;
      const seen = new MutationObserver(() => (window.papers += document.querySelectorAll(".paper").length));
      seen.observe(document.body, { childList: true, subtree: true });
    });
    for (const format of sheets) {
      const pages = pagesOf(await page.pdf({ format }));
      expect(pages >= 1 && pages <= most, `${hash} takes ${pages} pages of ${format}, not ${most}`);
    }
    expect((await page.evaluate(() => window.papers)) >= sheets.length, `the paper of ${hash} is not what is printed`);
    expect((await page.locator(".paper").count()) === 0, `the paper of ${hash} stays in the page`);
    for (const colorScheme of schemes) {
      await page.emulateMedia({ media: "print", colorScheme });
      await page.locator(".paper").waitFor();
      const text = await page.locator("body").innerText();
      const missing = wanted.filter((words) => !text.includes(words));
      expect(missing.length === 0, `${hash} on paper says nothing of ${missing.join(", ")}`);
      const colours = await page.evaluate(() => [getComputedStyle(document.body).backgroundColor, getComputedStyle(document.querySelector(".paper h1")).color]);
      expect(colours.join() === "rgb(255, 255, 255),rgb(0, 0, 0)", `${hash} in the ${colorScheme} is printed in ${colours}`);
      const shown = await page.locator("main input, main select, main button, header.bar").filter({ visible: true }).count();
      expect(shown === 0, `${hash} on paper shows ${shown} things to press or fill in`);
      await axe(page);
    }
    await page.emulateMedia({ media: null, colorScheme: null });
    await page.locator(".paper").waitFor({ state: "detached" });
    expect(await page.locator("header.bar").isVisible(), `after printing ${hash} its head is gone`);
  }

  const about = ["document format", "Brimwise 0.", "local codes", "Take care", "Inputs", "open it again", "#/C/", new Date().getFullYear().toString()];
  const page = await open("", { size: desk });

  // A system: the way round, every level, what it carries, every input.
  for (const [demo, words] of [
    ["courtyard", []],
    ["enlarged", ["What leads to what", "What would repair it"]],
    ["hill_trout", []],
    ["classroom", []],
  ]) {
    await goto(page, `#/demo/${demo}`);
    const levels = await page.locator(".checked .level-name").allTextContents();
    expect(levels.length > 4, `${demo} has ${levels.length} levels`);
    const wanted = ["The water loop", "Fullest first", "What this system can carry", "Worst days", "Water temperature today", ...words, ...levels];
    await printed(page, 2, [...about, ...wanted]);
  }
  // What is open of the lists beside a system prints after it.
  await unfold(page, "Parts list");
  await page.locator(".bought .buy").first().waitFor();
  const pages = pagesOf(await page.pdf({ format: "A4" }));
  expect(pages >= 3, `with its parts list it takes ${pages} pages`);
  await page.emulateMedia({ media: "print" });
  expect(await page.locator(".bought").isVisible(), "the parts list that is open does not print");
  const folded = page.getByText("Fill and prove").first();
  // What prints is made once the medium is known to be print.
  await folded.waitFor({ state: "hidden" }).catch(() => {});
  expect(!(await folded.isVisible()), "a list that is not open prints");
  await page.emulateMedia({ media: null });

  // Every calculator, in the other units, from a phone; the drain with all of its working.
  const small = await open("", { size: phone });
  await small.locator(".units").click();
  const calculators = await small.locator("main a[href^='#/calculator/']").evaluateAll((all) => all.map((a) => a.getAttribute("href")));
  expect(calculators.length >= 15, `there are ${calculators.length} calculators`);
  for (const [i, route] of calculators.entries()) {
    await goto(small, route);
    const wanted = ["Results", "The working", "Sources", "Inputs"];
    if (route.endsWith("/drain")) await printed(small, 2, [...wanted, ...about, "gal/h", "Fill levels", "* assumed"]);
    else await printed(small, 2, wanted, [["light", "dark"][i % 2]]);
  }

  // A field that cannot be read, and one outside its range, are said on paper too.
  await goto(small, "#/calculator/drain");
  const flow = small.locator("main input[inputmode]").first();
  const was = await flow.inputValue();
  await flow.fill("much");
  await small.emulateMedia({ media: "print" });
  await small.locator(".paper .wrong", { hasText: "needs another look" }).waitFor();
  await small.emulateMedia({ media: null });
  await flow.fill(was);

  // The button; and what is too much for a square says so.
  await small.evaluate(() => (window.print = () => (window.asked = (window.asked ?? 0) + 1)));
  await unfold(small, "Save, open, print");
  await small.getByRole("button", { name: "Print", exact: true }).click();
  expect((await small.evaluate(() => window.asked)) === 1, "the button does not print");
  await goto(page, "#/demo/enlarged");
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await page.waitForURL(/#\/system\/./);
  await page.evaluate(() => {
    const letters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789";
    const key = Object.keys(localStorage).find((key) => key.startsWith("brimwise/system/"));
    const kept = JSON.parse(localStorage.getItem(key));
    const { sumps, pumps, tanks, settlers, beds } = kept.system;
    for (const [n, station] of [sumps, pumps, tanks, settlers, beds].flat().entries()) {
      station.name = Array.from({ length: 60 }, (_, i) => letters[(i * i + 7 * i + 13 * n * (i + 1)) % letters.length]).join("");
    }
    localStorage.setItem(key, JSON.stringify(kept));
  });
  const own = new URL(page.url()).hash;
  await goto(page, "#/systems");
  await goto(page, own);
  await page.emulateMedia({ media: "print" });
  await page.locator(".paper", { hasText: /Too much for a QR code|too large for a link/ }).waitFor();
  expect((await page.locator(".paper .qr").count()) === 0, "a square stands there all the same");
  expect((await page.locator(".paper .code").count()) + (await page.getByText("too large for a link").count()) > 0, "nothing says how to open it again");
  await axe(page);
  await page.emulateMedia({ media: null });

  // Tables.
  async function table(page) {
    const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Table (CSV)" }).click()]);
    const text = await readFile(await file.path(), "utf8");
    expect(text.startsWith("\ufeff"), "a spreadsheet would not know its letters");
    const rows = rowsOf(text.slice(1));
    expect(rows.every((row) => row.length === rows[0].length), "its rows differ in width");
    expect(rows.flat().every((cell) => !/^\s*[=+@\t\r]/.test(cell) && !/^-(?![\d.])/.test(cell)), "a cell computes");
    return [file.suggestedFilename(), rows];
  }
  await goto(page, "#/demo/courtyard");
  await page.locator(".station summary", { hasText: "Trough" }).first().click();
  await page.locator("#f-tanks-0-name").fill('=1+1,"x"');
  await page.locator(".checked", { hasText: '=1+1,"x"' }).first().waitFor();
  const [called, rows] = await table(page);
  expect(/^[a-z-]+\.csv$/.test(called), `the file is called ${called}`);
  expect(rows[0].join() === "station,what,asked,asked_to,brim,capacity,capacity_to,unit,percent,state,day,percent_today,state_today,verdict", `its columns are ${rows[0]}`);
  expect(rows.length - 1 === (await page.locator(".checked").count()), `it has ${rows.length - 1} levels`);
  expect(rows.some((row) => row[0] === `'=1+1,"x"`), "the name that computes is not made harmless");
  const percent = (await page.locator(".checked .level-large").first().innerText()).replace(/\D/g, "");
  expect(Math.round(rows[1][8]) === Number(percent), `the fullest level is ${rows[1][8]} in the file and ${percent} on the page`);
  await flow.fill("1000 L/h");
  const [drain, cells] = await table(small);
  expect(drain === "drain.csv", `the file is called ${drain}`);
  for (const block of ["Inputs", "Results", "Fill levels", "Other sizes, at the same flow"]) {
    expect(cells.some((row) => row[0] === block), `the file has no ${block}`);
  }
  const typed = cells.find((row) => row[4] === "" && row[3] === "gal/h");
  expect(Math.abs(typed[2] - 1000 / 3.785411784) < 0.01, `1000 L/h stand as ${typed}`);
}
