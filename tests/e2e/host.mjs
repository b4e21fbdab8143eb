// A static host as a club may have it: any folder under any path, with the headers that a test wants. It notes what is asked of it, can be
// stopped and started again at the same address, and can be given another folder, as when a new version is put there.
import { createServer } from "node:http";
import { createReadStream } from "node:fs";
import { cp, readFile, readdir, rename, rm, stat, writeFile } from "node:fs/promises";
import { createHash } from "node:crypto";
import { join, normalize } from "node:path";
import { prefix } from "./harness.mjs";

const kinds = {
  html: "text/html; charset=utf-8",
  js: "text/javascript; charset=utf-8",
  css: "text/css; charset=utf-8",
  wasm: "application/wasm",
  webmanifest: "application/manifest+json",
  svg: "image/svg+xml",
  png: "image/png",
};

/** The policy that the built page carries, for a host that sends it as a header too. */
export async function policyOf(folder) {
  const tag = /<meta [^>]*content-security-policy[^>]*>/i.exec(await readFile(join(folder, "index.html"), "utf8"))[0];
  return /content="([^"]+)"/.exec(tag)[1];
}

/** Starts one. `headers(path)` gives what is sent besides; in pages, `words` are put in place of others. */
export async function host(folder, { path = prefix, headers = () => ({}), port = 0, name = "127.0.0.1", words = {} } = {}) {
  const here = { folder, asked: [], missing: new Set(), paper: false };
  const answer = async (request, response) => {
    const target = decodeURIComponent(request.url.split(/[?#]/)[0]);
    here.asked.push(target.startsWith(path) ? target.slice(path.length) : target);
    const inside = normalize(target.slice(path.length) || "index.html");
    const file = join(here.folder, inside);
    const found = target.startsWith(path) && !inside.startsWith("..") && !here.missing.has(inside);
    const size = found ? await stat(file).then((s) => (s.isFile() ? s.size : -1), () => -1) : -1;
    // Some hosts answer with a page for what is not there.
    if (size < 0 && here.paper) return response.writeHead(200, { "content-type": "text/html" }).end("<p>Not here.</p>");
    if (size < 0) return response.writeHead(404, { "content-type": "text/plain" }).end("Not here.\n");
    const kind = kinds[inside.split(".").at(-1)] ?? "application/octet-stream";
    // The least helpful caching there is, short of forbidding it.
    response.writeHead(200, { "content-type": kind, "cache-control": "no-cache", ...headers(inside) });
    const swaps = Object.entries(words);
    if (!swaps.length || !inside.endsWith(".html")) return createReadStream(file).pipe(response);
    const page = await readFile(file, "utf8");
    return response.end(swaps.reduce((text, [from, to]) => text.replaceAll(from, to), page));
  };
  let server;
  here.start = () =>
    new Promise((resolve, reject) => {
      server = createServer((request, response) => void answer(request, response));
      server.once("error", reject);
      server.listen(port, "127.0.0.1", () => {
        ({ port } = server.address());
        here.base = `http://${name}:${port}${path}`;
        resolve();
      });
    });
  here.stop = () =>
    new Promise((resolve) => {
      server.close(resolve);
      server.closeAllConnections();
    });
  await here.start();
  return here;
}

/** A later version of the site in `from`, as a change of one style sheet makes it; its new version. */
export async function nextVersion(from, to) {
  await rm(to, { recursive: true, force: true });
  await cp(from, to, { recursive: true });
  const sheet = (await readdir(to)).find((file) => file.endsWith(".css"));
  const body = await readFile(join(to, sheet));
  const changed = Buffer.concat([body, Buffer.from("\n:root{--release:next}\n")]);
  const hash = (bytes) => `sha256-${createHash("sha256").update(bytes).digest("base64")}`;
  const renamed = sheet.replace(".css", "-next.css");
  await rename(join(to, sheet), join(to, renamed));
  await writeFile(join(to, renamed), changed);
  const page = await readFile(join(to, "index.html"), "utf8");
  const version = /name="?version"? content="?(\w+)/.exec(page)[1];
  const next = [...version].reverse().join("");
  for (const file of ["index.html", "offline.js"]) {
    const text = await readFile(join(to, file), "utf8");
    const all = [[sheet, renamed], [hash(body), hash(changed)], [version, next]];
    await writeFile(join(to, file), all.reduce((said, [old, fresh]) => said.replaceAll(old, fresh), text));
  }
  return { version, next };
}
