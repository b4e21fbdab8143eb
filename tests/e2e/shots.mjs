// Takes a picture of every screen that a link leads to (or of the routes given, such as '#/calculator/drain') in both sizes, light and dark, metric and US,
// into target/shots. Says which pages were not quiet while it did.
import { mkdir, rm } from "node:fs/promises";
import { join } from "node:path";
import { desk, launch, phone, serve, target, visit, visitor, watch } from "./harness.mjs";
import { discover, fileName } from "./routes.mjs";

const folder = join(target, "shots");
const asked = process.argv.slice(2);
if (!asked.length) await rm(folder, { recursive: true, force: true });
await mkdir(folder, { recursive: true });

const server = await serve();
const browser = await launch();
let wanted = asked;
let faulty = false;
try {
  if (!asked.length) wanted = await discover(await (await visitor(browser)).newPage(), server.base);
  for (const [sizeName, size] of [["phone", phone], ["desk", desk]]) {
    for (const dark of [false, true]) {
      for (const units of ["metric", "us"]) {
        const localStorage = [{ name: "brimwise/setting/units", value: JSON.stringify(units) }];
        const storageState = { cookies: [], origins: [{ origin: new URL(server.base).origin, localStorage }] };
        const context = await visitor(browser, { size, dark, storageState });
        const { faults } = await watch(context, server.base);
        for (const route of wanted) {
          const page = await context.newPage();
          await visit(page, server.base, route);
          await page.evaluate(() => document.fonts.ready);
          const look = [sizeName, dark ? "dark" : "light", units].join("-");
          await page.screenshot({ path: join(folder, `${fileName(route)}-${look}.png`), fullPage: true });
          await page.close();
          for (const fault of faults.splice(0)) {
            faulty = true;
            console.log(`${route} ${look}: ${fault}`);
          }
        }
        await context.close();
      }
    }
  }
} finally {
  await browser.close();
  await server.close();
}
console.log(`${wanted.length * 8} pictures in target/shots`);
process.exitCode = faulty ? 1 : 0;
