// Starts the app. A file of its own, because a strict content-security policy refuses scripts written into the page.
const address = (id) => document.getElementById(id).href;

try {
  const { default: init } = await import(address("app-js"));
  await init({ module_or_path: address("app-wasm") });
} catch (fault) {
  const sentence = document.createElement("p");
  sentence.setAttribute("role", "alert");
  sentence.textContent = `Brimwise could not start in this browser: ${fault}`;
  document.getElementById("app").replaceChildren(sentence);
  throw fault;
}
