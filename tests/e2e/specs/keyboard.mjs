export const name = "the main job by keyboard alone: from the first screen to a link and a reload; the focus is always seen and never lost";

export async function run({ open, expect, desk, phone }) {
  for (const [size, dark] of [[desk, false], [phone, true]]) await job({ open, expect }, { size, dark, touch: false });
}

async function job({ open, expect }, options) {
  const page = await open("", options);
  const keys = page.keyboard;
  const wide = options.size.width;

  /** What holds the focus: its name, and whether a person can see that it does. */
  const focus = () =>
    page.evaluate(() => {
      const e = document.activeElement;
      if (!e || e === document.body) return { lost: true, tag: "BODY", name: "" };
      const name = e.getAttribute("aria-label") ?? e.labels?.[0]?.innerText ?? e.innerText ?? "";
      // The picture of a radio button is the words beside it, under the clear button itself; that of a file's input is the label around it.
      const shown = e.type === "radio" ? e.nextElementSibling : e.type === "file" ? e.closest("label") : e;
      const { outlineStyle, outlineWidth } = getComputedStyle(shown);
      const ring = outlineStyle !== "none" && parseFloat(outlineWidth) >= 2;
      const box = shown.getBoundingClientRect();
      const across = [0.02, 0.25, 0.5, 0.75, 0.98].map((x) => box.left + box.width * x);
      const down = [0.1, 0.5, 0.9].map((y) => Math.min(box.top + box.height * y, innerHeight - 1));
      const seen = across.some((x) =>
        down.some((y) => {
          const top = document.elementFromPoint(x, y);
          return top !== null && (top === e || shown.contains(top) || top.contains(shown));
        }),
      );
      return { lost: false, tag: e.tagName, id: e.id, name: name.trim().replace(/\s+/g, " "), ring, seen };
    });
  const held = async (after) => {
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 30))));
    const f = await focus();
    expect(!f.lost, `${wide}: the focus is lost after ${after}`);
    expect(f.ring && f.seen, `${wide}: after ${after} nobody sees that the focus is on ${JSON.stringify(f)}`);
    return f;
  };
  /** Goes on with the tabulator until the focus is on what has such a name. */
  const to = async (name, key = "Tab") => {
    let lost = 0;
    for (let i = 0; i < 400; i++) {
      await keys.press(key);
      const f = await focus();
      // Past the last one the browser itself has the focus once.
      if (f.lost) {
        lost += 1;
        expect(lost < 3, `${wide}: “${name}” is not reached with ${key}`);
        continue;
      }
      if (name.test(f.name)) return held(`${key} to ${name}`);
      // What is still being made may move it for a moment.
      if (!f.ring || !f.seen) await held(`${key} on the way to ${name}`);
    }
    throw new Error(`${wide}: ${name} is not reached with ${key} in 400 steps`);
  };
  const heading = (name) => page.getByRole("heading", { level: 1, name }).waitFor();
  const level = (name) => page.locator(".checked", { hasText: name }).first().textContent();

  // From the first screen to the demo.
  await keys.press("Tab");
  expect((await focus()).name === "Skip to the content", "the first thing is not the way past the bar");
  await keys.press("Enter");
  expect((await held("skipping")).id === "main", "the way past the bar does not lead to the content");
  await to(/^Courtyard trough, enlarged/);
  await keys.press("Enter");
  await heading("Courtyard trough, enlarged");
  expect((await held("following a link")).tag === "H1", "on a new screen the focus is not on its title");
  expect(/spills/.test(await page.locator("#verdict").innerText()), "the verdict does not say that it spills");
  expect(/over/.test(await level("Outlet of New tank")), "the outlet is not over");

  // The repair of the pipe, and a step back and forth.
  await to(/^Use it: /);
  await keys.press("Enter");
  await page.locator(".chain").waitFor({ state: "detached" });
  expect((await held("a repair")).id === "verdict", "after a repair the focus is not on the verdict that follows from it");
  expect(!/over/.test(await level("Outlet of New tank")), "the outlet is still over");
  await to(/^Undo$/);
  await keys.press("Enter");
  await page.locator(".chain").waitFor();
  expect((await held("the last undo")).name === "Undo", "undo loses its own focus");
  await to(/^Redo$/);
  await keys.press("Enter");
  await page.locator(".chain").waitFor({ state: "detached" });
  expect((await held("the last redo")).name === "Redo", "redo loses its own focus");

  // A station opened, a choice made with the arrows, a list that grows and shrinks.
  await to(/^New tank/);
  await keys.press("Enter");
  await page.locator(".station[open], .station details[open] .form").first().waitFor();
  await held("unfolding a station");
  let radio = await to(/.*/);
  for (let i = 0; i < 80 && !(await page.evaluate(() => document.activeElement?.type === "radio")); i++) radio = await to(/.*/);
  await keys.press("ArrowDown");
  const other = await held("an arrow in a choice");
  expect(other.id !== radio.id && (await page.evaluate(() => document.activeElement.checked)), "the arrow chooses nothing");
  await keys.press("ArrowUp");
  await held("an arrow back");
  await to(/^Add a /);
  await keys.press("Enter");
  await held("adding a row");
  await to(/^Remove /, "Shift+Tab");
  await keys.press("Enter");
  await held("removing a row");

  // A name, typed letter by letter without losing the field.
  const field = await to(/^Name$/);
  await keys.press("Control+a");
  for (const letter of "Behind the shed") {
    await keys.type(letter);
    expect((await focus()).id === field.id, `typing “${letter}” loses the field`);
  }
  await heading("Behind the shed");
  await to(/^Save$/);
  await keys.press("Enter");
  await page.locator(".notice", { hasText: "Saved: Behind the shed." }).waitFor();
  expect((await held("saving")).name === "Save", "saving loses the focus");

  // The link.
  await to(/^Share by link or code/);
  await keys.press("Enter");
  await page.locator("#share-text").waitFor();
  await to(/^Copy the link$/);
  const link = await page.locator("#share-text").inputValue();
  await keys.press("Enter");
  await page.locator(".notice", { hasText: /Copied|selected/ }).waitFor();
  await held("copying");
  await to(/^Close this message$/);
  await keys.press("Enter");
  await page.locator(".notice").waitFor({ state: "detached" });
  await held("closing a message");

  // Still there after a reload.
  await page.reload();
  await heading("Behind the shed");
  expect(!/over/.test(await level("Outlet of New tank")), "the repair is lost");

  // The link opens as what it was, is kept, and one of the two is deleted again.
  const code = link.slice(link.indexOf("#"));
  await page.evaluate((hash) => (location.hash = hash), code);
  await page.locator(".banner", { hasText: "From a link" }).waitFor();
  await heading("Behind the shed");
  await to(/^Keep it$/);
  await keys.press("Enter");
  await page.locator(".banner", { hasText: "From a link" }).waitFor({ state: "detached" });
  await held("keeping what came in a link");
  await to(/^Back to the list$/, "Shift+Tab");
  await keys.press("Enter");
  await heading("Systems");
  for (const left of [1, 0]) {
    await to(/^Delete Behind the shed$/);
    await keys.press("Enter");
    await page.waitForFunction((n) => document.querySelectorAll(".mine").length === n, left);
    await held(`deleting, ${left} left`);
  }
  await to(/^Undo$/);
  await keys.press("Enter");
  await page.locator(".mine").waitFor();
  await held("undoing from a message");
  await page.close();
}
