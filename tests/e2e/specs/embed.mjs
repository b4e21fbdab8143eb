import { readFile, rm } from "node:fs/promises";
import { join } from "node:path";
import { common, root, target } from "../harness.mjs";
import { host, policyOf } from "../host.mjs";

export const name = "embedded in a club's page on another site: strict policies on both sides, heights that follow, a sandbox without storage, and a way into the app";

export async function run({ adopt, expect, axe }) {
  const dist = join(target, "dist");
  const policy = await policyOf(dist);
  // Two sites, not only two ports: what each keeps in the other's frames is parted.
  let club;
  const tools = await host(dist, {
    headers: () => ({ "content-security-policy": `${policy}; frame-ancestors 'self' ${new URL(club?.base ?? "http://localhost").origin}`, "access-control-allow-origin": "*" }),
  });
  const home = new URL(tools.base).origin;
  club = await host(join(root, "tests", "e2e", "site"), {
    path: "/",
    name: "localhost",
    words: { "TOOLS/": tools.base },
    headers: () => ({
      "content-security-policy": `default-src 'none'; script-src ${home}; style-src 'self'; img-src data:; frame-src ${home}; base-uri 'none'; form-action 'none'`,
    }),
  });
  const profile = join(target, "e2e", "profile-club");
  await rm(profile, { recursive: true, force: true });
  const context = await adopt(await common(profile), [club.base, tools.base]);
  try {
    // The visitor knows the full app already, and has something kept there.
    const own = await context.newPage();
    own.setDefaultTimeout(15_000);
    await own.goto(`${tools.base}#/calculator/drain`);
    await own.waitForSelector("#app .skip", { state: "attached" });
    await own.evaluate(() => localStorage.setItem("brimwise/setting/units", '"us"'));
    // The picture of what a visitor sees is a frame of the app itself.
    await own.goto(`${tools.base}#/site/drain`);
    await own.frameLocator("iframe.live").locator("#verdict").waitFor();
    await own.goto(`${tools.base}#/calculator/drain`);
    await own.waitForSelector("main.calculator");
    const before = await own.evaluate(() => JSON.stringify(localStorage));

    const page = await context.newPage();
    page.setDefaultTimeout(15_000);
    const heard = [];
    await page.exposeFunction("noteMessage", (message) => heard.push(message));
    await page.addInitScript(() => {
      if (self === top) addEventListener("message", ({ data, origin }) => window.noteMessage({ data, origin }));
    });
    await page.goto(club.base);
    const frame = (id) => page.frameLocator(`#${id} iframe, iframe#${id}`);
    const high = (id) => page.locator(`#${id} iframe`).evaluate((e) => e.clientHeight);
    const fits = (id) => async () => {
      const inside = await frame(id).locator("#app").evaluate((e) => Math.ceil(e.getBoundingClientRect().height));
      return Math.abs((await high(id)) - inside) <= 1;
    };
    const until = async (holds, sentence) => {
      for (let i = 0; i < 300; i += 1) {
        if (await holds()) return;
        await page.waitForTimeout(50);
      }
      expect(false, sentence);
    };

    // One calculator, as the page's attributes say.
    const pipe = frame("pipe");
    const flow = pipe.getByLabel("Most the pump can ever send here", { exact: true });
    await flow.waitFor();
    expect((await flow.inputValue()) === "2400", `40 gal/min is shown as ${await flow.inputValue()}`);
    expect((await pipe.getByLabel("Unit of Most the pump can ever send here").inputValue()) === "gal/h", "the units are not those asked for");
    const look = await pipe.locator("html").evaluate((e) => ({
      paper: getComputedStyle(e.querySelector("body")).backgroundColor,
      deep: getComputedStyle(e).getPropertyValue("--deep"),
      well: getComputedStyle(e).getPropertyValue("--well"),
      upper: getComputedStyle(e.querySelector("p")).textTransform,
    }));
    expect(look.paper === "rgb(15, 24, 27)", `it is not dark: ${look.paper}`);
    expect(/^#[0-9a-f]{6}$/.test(look.deep) && look.deep !== "#7a1fa2" && look.deep !== "#a6dfe9", `the accent is ${look.deep}`);
    expect(look.well === "#a6dfe9", `what is enough has the colour of the club: ${look.well}`);
    expect(look.upper === "none", "the style of the page around came in");
    await until(fits("pipe"), "the frame is not as high as what is in it");
    const low = await high("pipe");
    await pipe.locator("summary", { hasText: "More detail" }).click();
    await until(async () => (await high("pipe")) > low && (await fits("pipe")()), "the frame does not grow with what is in it");
    const tall = await high("pipe");
    await pipe.locator("summary", { hasText: "More detail" }).click();
    await until(async () => (await high("pipe")) < tall && (await fits("pipe")()), "the frame does not shrink again");
    const verdict = await pipe.locator("#verdict").innerText();
    await flow.fill("600 gal/h");
    expect((await pipe.locator("#verdict").innerText()) !== verdict, "it does not compute");
    expect(await pipe.getByText("Nothing is kept in this frame", { exact: false }).isVisible(), "it does not say where work is kept");

    // A change of an attribute is followed, and is no step of the page around it.
    const steps = await page.evaluate(() => history.length);
    await page.locator("#pipe").evaluate((e) => e.setAttribute("units", "metric"));
    await until(async () => /L\/h/.test(await pipe.locator("#verdict").innerText()), "a changed attribute is not followed");
    await page.locator("#pipe").evaluate((e) => e.setAttribute("units", "us"));
    // What is typed before that is followed would go with the page that it was typed into.
    await until(async () => /gal\/h/.test(await pipe.locator("#verdict").innerText()), "a changed attribute is not followed back");
    expect((await page.evaluate(() => history.length)) === steps, "a changed attribute is a step back of the page around it");
    await flow.fill("620 gal/h");
    // A page that is just changing its height moves what is about to be pressed.
    await until(async () => /620/.test(await pipe.locator("#verdict").innerText()), "what is typed is not answered");

    // Into the full app, with the work; and as a file.
    const link = pipe.getByRole("link", { name: "Open in the full app" });
    let stood = "";
    const stands = async () => {
      const [was, now] = [stood, JSON.stringify(await link.boundingBox())];
      stood = now;
      await page.waitForTimeout(100);
      return was === now;
    };
    await until(stands, "the page goes on changing its height");
    const [full] = await Promise.all([context.waitForEvent("page"), link.click()]);
    full.setDefaultTimeout(15_000);
    await full.getByRole("heading", { level: 1 }).waitFor();
    const there = full.getByLabel("Most the pump can ever send here", { exact: true });
    expect(/^(620|2347)/.test(await there.inputValue()), `in the full app it is ${await there.inputValue()}`);
    await full.getByText("From a link", { exact: false }).first().waitFor();
    await full.close();
    const [download] = await Promise.all([page.waitForEvent("download"), pipe.getByRole("button", { name: "Save as a file" }).click()]);
    expect(JSON.parse(await readFile(await download.path(), "utf8")).calculator === "drain", "the file is not of this calculator");

    // The check of a system, to look at.
    const trough = frame("trough");
    await trough.getByRole("heading", { level: 1, name: "Courtyard trough, enlarged" }).waitFor();
    expect((await trough.locator("input").count()) === 0, "a system to look at has fields");
    expect((await trough.getByRole("button", { name: /^Use/ }).count()) === 0, "a system to look at has repairs to use");
    expect(/spills/.test(await trough.locator("#verdict").innerText()), "it does not say that it spills");
    expect((await trough.locator("body").evaluate((e) => getComputedStyle(e).backgroundColor)) === "rgb(246, 244, 236)", "it is not light");
    await until(fits("trough"), "the system's frame is not as high as what is in it");

    // A plain frame, without the script.
    const feed = frame("plain").getByLabel("Feed a day", { exact: true });
    await feed.waitFor();
    expect((await feed.inputValue()) === "80", `the plain frame shows ${await feed.inputValue()}`);

    // A sandbox without an origin: storage throws there, and it computes all the same.
    const strict = frame("strict");
    await strict.locator("#verdict").waitFor();
    const refused = await strict.locator("html").evaluate(() => {
      try {
        return `${self.origin} ${typeof localStorage}`;
      } catch (error) {
        return error.name;
      }
    });
    expect(refused === "SecurityError", `storage in the sandbox: ${refused}`);
    const said = await strict.locator("#verdict").innerText();
    await strict.getByLabel("Water the fish live in", { exact: true }).fill("70 L");
    await until(async () => (await strict.locator("#verdict").innerText()) !== said, "the sandbox does not compute");
    await until(fits("strict"), "the sandboxed frame is not as high as what is in it");

    // Values that cannot be taken are said, and the usual ones stand there.
    const wrong = frame("wrong");
    await wrong.locator(".banner .wrong").nth(1).waitFor();
    expect(/does not begin with a number/.test(await wrong.locator(".banner").innerText()), "it does not say what is wrong");
    expect(!(await wrong.locator("html").getAttribute("class")).includes("accented"), "a colour that is none was taken");

    // Nothing but heights was said, by nobody but the tools.
    expect(heard.length > 4, "no frame said its height");
    const odd = heard.filter(({ data, origin }) => ![home, "null"].includes(origin) || JSON.stringify(Object.keys(data)) !== '["brimwise","height"]');
    expect(odd.length === 0, `other messages: ${JSON.stringify(odd)}`);
    // A message from elsewhere moves nothing.
    const now = await high("pipe");
    await page.evaluate(() => postMessage({ brimwise: 1, height: 5000 }, "*"));
    await page.waitForTimeout(200);
    expect((await high("pipe")) === now, "the page's own message moved the frame");

    // The frames kept nothing, and what is kept in the full app is not there to be read.
    const inside = page.frames().filter((f) => f.url().startsWith(tools.base));
    expect(inside.length === 5, `there are ${inside.length} frames`);
    const seen = await inside.find((f) => f.url().includes("/embed/bed")).evaluate(() => localStorage.length);
    expect(seen === 0, "a frame on another site sees what the full app keeps");
    expect((await own.evaluate(() => JSON.stringify(localStorage))) === before, "a frame changed what the full app keeps");
    await axe(page);
    await context.close();
  } finally {
    await tools.stop();
    await club.stop();
  }
}
