export const name = "handed on: a link and a square, opened without touching what is there; cut links and pasted codes";

export async function run(ctx) {
  const { open, goto, expect, axe, fits, phone } = ctx;
  const unfold = async (page, text) => {
    const fold = page.locator("details.fold", { hasText: text }).last();
    if (!(await fold.evaluate((e) => e.open))) await fold.locator("summary").first().click();
  };
  const feed = (page) => page.getByLabel("Feed a day", { exact: true });
  const stored = (page, key) => page.evaluate((key) => localStorage.getItem(key), key);

  // One person makes a link.
  const one = await open("#/calculator/bed", { size: phone, dark: true });
  await feed(one).fill("80 g/day");
  await unfold(one, "Share by link or code");
  const field = one.locator("#share-text");
  await field.waitFor();
  const link = await field.inputValue();
  expect(link.startsWith(`${ctx.base}#/C/`), `the link is ${link}`);
  const colours = await one.locator(".qr").evaluate((qr) => [...qr.children].map((c) => getComputedStyle(c).fill));
  expect(colours.join() === "rgb(255, 255, 255),rgb(0, 0, 0)", `in the dark the square is drawn in ${colours}`);
  const box = await one.locator(".qr").boundingBox();
  const side = (await one.locator(".qr").getAttribute("viewBox")).split(" ")[2];
  expect(box.width / side >= 3, `a module of the square is ${box.width / side} px`);
  await axe(one);
  await fits(one);
  // The link follows what is typed.
  await feed(one).fill("81 g/day");
  await one.waitForFunction((old) => document.querySelector("#share-text").value !== old, link);
  await feed(one).fill("80 g/day");
  await one.waitForFunction((old) => document.querySelector("#share-text").value === old, link);

  // Copied, and handed to the device's own list.
  await one.context().grantPermissions(["clipboard-read", "clipboard-write"]);
  await one.getByRole("button", { name: "Copy the link" }).click();
  await one.locator(".notice", { hasText: "Copied." }).waitFor();
  expect((await one.evaluate(() => navigator.clipboard.readText())) === link, "the clipboard does not hold the link");
  await one.evaluate(() => {
    navigator.share = (data) => ((window.handed = data), Promise.resolve());
  });
  await unfold(one, "Share by link or code");
  await feed(one).fill("80.5 g/day");
  await one.getByRole("button", { name: "Share", exact: true }).click();
  expect((await one.evaluate(() => window.handed.url)).includes("#/C/"), "the device's list gets no link");
  // Where neither is there, the text is selected.
  await one.evaluate(() => {
    Object.defineProperty(navigator, "clipboard", { value: undefined });
    document.execCommand = () => false;
  });
  await one.getByRole("button", { name: "Copy the link" }).click();
  await one.locator(".notice", { hasText: "It is selected" }).waitFor();
  const selected = await field.evaluate((f) => f.selectionEnd - f.selectionStart === f.value.length);
  expect(selected, "the link is not selected");

  // Another person has a sheet of their own, and opens it.
  const two = await open("#/calculator/bed", { size: phone });
  await feed(two).fill("55 g/day");
  await goto(two, "#/");
  const draft = await stored(two, "brimwise/draft/bed");
  await goto(two, link.slice(ctx.base.length));
  await two.getByRole("heading", { level: 1, name: /, from a link$/ }).waitFor();
  expect((await feed(two).inputValue()) === "80", "the link's value is not in the field");
  expect(/#\/linked\/\d+$/.test(two.url()), `the address stays ${two.url()}`);
  await two.locator(".banner", { hasText: "From a link" }).waitFor();
  expect((await stored(two, "brimwise/draft/bed")) === draft, "opening a link changes what was there");
  await axe(two);
  await fits(two);
  await two.getByRole("button", { name: "Undo" }).click();
  expect((await feed(two).inputValue()) === "55", "undo does not bring back what was there");
  await two.getByRole("button", { name: "Redo" }).click();
  expect((await feed(two).inputValue()) === "80", "redo does not bring the link's values");
  await two.reload();
  await two.getByRole("heading", { level: 1, name: /, from a link$/ }).waitFor();
  expect((await feed(two).inputValue()) === "80", "a reload loses what was opened");
  // The first change makes it their own, beside the sheet that was there.
  await feed(two).fill("82 g/day");
  await two.waitForURL(/#\/calculator\/bed\/./);
  await goto(two, "#/calculator/bed");
  expect((await feed(two).inputValue()) === "55", "a change of what was opened went into the own sheet");
  await unfold(two, "Save, open, print");
  await two.getByRole("link", { name: /, from a link$/ }).waitFor();

  // Cut on the way; and pasted.
  await goto(two, link.slice(ctx.base.length, -6));
  await two.getByRole("heading", { level: 1, name: "The link cannot be opened" }).waitFor();
  await two.locator(".verdict", { hasText: "cut short" }).waitFor();
  await axe(two);
  await goto(two, "#/systems");
  const paste = two.getByLabel("A link or code that you were given");
  await paste.fill(link.slice(0, -1));
  await two.getByRole("button", { name: "Open", exact: true }).click();
  await two.locator(".wrong", { hasText: "cut short" }).waitFor();
  await axe(two);
  await paste.fill(` ${link.split("/C/")[1]} `);
  await paste.press("Enter");
  await two.getByRole("heading", { level: 1, name: /, from a link$/ }).waitFor();

  // A whole system: in no list until it is kept.
  await goto(one, "#/demo/courtyard");
  await unfold(one, "Share by link or code");
  const whole = await one.locator("#share-text").inputValue();
  await one.locator(".qr").waitFor();
  await axe(one);
  await goto(two, whole.slice(ctx.base.length));
  await two.locator(".banner", { hasText: "From a link" }).waitFor();
  const called = await two.getByRole("heading", { level: 1 }).innerText();
  // Two links opened one after the other are two steps.
  await two.goBack();
  await two.getByRole("heading", { level: 1, name: /, from a link$/ }).waitFor();
  await two.goForward();
  await two.getByRole("heading", { level: 1, name: called, exact: true }).waitFor();
  await axe(two);
  await fits(two);
  const kept = () => two.evaluate(() => Object.keys(localStorage).filter((k) => k.startsWith("brimwise/system/")).length);
  expect((await kept()) === 0, "a linked system is kept before anyone asked for it");
  await two.getByRole("button", { name: "Keep it" }).click();
  await two.waitForURL(/#\/system\/./);
  expect((await kept()) === 1, "it is not kept");
  await goto(two, "#/systems");
  await two.getByRole("link", { name: called }).first().waitFor();

  const told = ctx.requests.filter((url) => url.includes("/C/") || url.includes("#"));
  expect(told.length === 0, `the server was told of it: ${told}`);
}
