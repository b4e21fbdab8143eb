export const name = "the app opens under a sub-path with a strict policy, and says nothing on the console";

export async function run({ open, expect, fits, phone, desk, base }) {
  for (const size of [phone, desk]) {
    for (const dark of [false, true]) {
      const page = await open("", { size, dark });
      const words = (await page.innerText("#app")).trim();
      expect(words.length > 0, "the app shows no words");
      expect((await page.locator("#app [role=alert]").count()) === 0, `the app opens with an alert: ${words}`);
      await fits(page);
    }
  }
  // The policy is really on: what it forbids is refused. Asked outside any watched page, because a refusal is a fault there.
  const answer = await fetch(base);
  const policy = answer.headers.get("content-security-policy") ?? "";
  expect(policy.includes("default-src 'none'"), `the policy is not strict: ${policy}`);
  for (const loose of ["'unsafe-inline'", "'unsafe-eval'", "*"]) {
    expect(!policy.includes(loose), `the policy holds ${loose}`);
  }
}
