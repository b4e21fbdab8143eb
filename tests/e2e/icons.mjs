// Draws the icons of style/icons/*.svg into the PNG files that a home screen needs, few colours and so few bytes. Run it after changing a
// drawing (`cargo xtask icons`), and commit both.
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { crc32, deflateSync } from "node:zlib";
import { launch, root } from "./harness.mjs";

const folder = join(root, "style", "icons");
const all = [["mark", 180], ["mark", 192], ["mark", 512], ["maskable", 512]];
const most = 64;

/** The pixels of a drawing, four bytes each. */
async function draw(browser, svg, size) {
  const page = await browser.newPage();
  const pixels = await page.evaluate(
    async ({ svg, size }) => {
      const image = new Image(size, size);
      image.src = `data:image/svg+xml,${encodeURIComponent(svg)}`;
      await image.decode();
      const pen = new OffscreenCanvas(size, size).getContext("2d");
      pen.drawImage(image, 0, 0, size, size);
      return [...pen.getImageData(0, 0, size, size).data];
    },
    { svg, size },
  );
  await page.close();
  return pixels;
}

function chunk(kind, body) {
  const head = Buffer.from(kind, "latin1");
  const frame = Buffer.alloc(8);
  frame.writeUInt32BE(body.length, 0);
  frame.writeUInt32BE(crc32(Buffer.concat([head, body])), 4);
  return Buffer.concat([frame.subarray(0, 4), head, body, frame.subarray(4)]);
}

/** A PNG file of the commonest colours; every other pixel takes the nearest of them. */
function png(pixels, size) {
  const counts = new Map();
  const colour = (at) => pixels.slice(at, at + 4).join();
  for (let at = 0; at < pixels.length; at += 4) counts.set(colour(at), (counts.get(colour(at)) ?? 0) + 1);
  const kept = [...counts].sort((a, b) => b[1] - a[1]).slice(0, most).map(([c]) => c.split(",").map(Number));
  const near = new Map();
  for (const c of counts.keys()) {
    const own = c.split(",").map(Number);
    const far = kept.map((k) => k.reduce((sum, x, i) => sum + (x - own[i]) ** 2, 0));
    near.set(c, far.indexOf(Math.min(...far)));
  }
  const rows = Buffer.alloc(size * (size + 1));
  for (let y = 0; y < size; y += 1) for (let x = 0; x < size; x += 1) rows[y * (size + 1) + x + 1] = near.get(colour(4 * (y * size + x)));
  const head = Buffer.alloc(13);
  head.writeUInt32BE(size, 0);
  head.writeUInt32BE(size, 4);
  head.set([8, 3, 0, 0, 0], 8);
  return Buffer.concat([
    Buffer.from("\x89PNG\r\n\x1a\n", "latin1"),
    chunk("IHDR", head),
    chunk("PLTE", Buffer.from(kept.flatMap((c) => c.slice(0, 3)))),
    chunk("tRNS", Buffer.from(kept.map((c) => c[3]))),
    chunk("IDAT", deflateSync(rows, { level: 9 })),
    chunk("IEND", Buffer.alloc(0)),
  ]);
}

const browser = await launch();
try {
  for (const [drawing, size] of all) {
    const svg = await readFile(join(folder, `${drawing}.svg`), "utf8");
    // Home screens that take the 180 one round its corners themselves, and show what is clear as black.
    const whole = svg.replace(' rx="96"', "").replace("v134a96 96 0 0 1-96 96H96a96 96 0 0 1-96-96z", "v230H0z");
    const file = png(await draw(browser, size === 180 ? whole : svg, size), size);
    const name = drawing === "mark" ? `${size}.png` : `${size}-${drawing}.png`;
    await writeFile(join(folder, name), file);
    console.log(`${name}: ${file.length} bytes`);
  }
} finally {
  await browser.close();
}
