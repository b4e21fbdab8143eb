export const name = "a script or style written into the page is refused, and the watch on the page sees it";

export async function run({ open, expect, allow }) {
  allow(/policy violated: script-src-elem/);
  allow(/policy violated: style-src-attr/);
  allow(/console error: .*Content Security Policy/);
  const page = await open();
  const ran = await page.evaluate(() => {
    const script = document.createElement("script");
    script.textContent = "window.inlineScriptRan = true";
    document.body.append(script);
    const element = document.createElement("p");
    element.setAttribute("style", "color: red");
    document.body.append(element);
    return Boolean(window.inlineScriptRan) || element.style.color === "red";
  });
  expect(!ran, "the policy let inline code through");
}
