// Takes hold of the coat's side seam in a browser, by mouse and by keyboard; keeps it, takes it back and does it again;
// holds the page against axe-core light and dark, wide and narrow; ends with 1 where something is not as it should be.
//
//     npm install --prefix FOLDER axe-core playwright-core
//     node tests/table/by_hand.mjs FOLDER target/debug/retrue
//
// CHROMIUM names the browser where it is not /usr/bin/chromium; PICTURES a folder for what was seen.

import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const [folder, program] = process.argv.slice(2);
if (!folder || !program) {
  console.error("say: node by_hand.mjs FOLDER PROGRAM");
  process.exit(2);
}
const from = createRequire(join(resolve(folder), "package.json"));
const { chromium } = from("playwright-core");
const axe = readFileSync(from.resolve("axe-core/axe.min.js"), "utf8");

let wrong = 0;
const holds = (is, what) => {
  if (!is) {
    wrong += 1;
    console.log(`wrong: ${what}`);
  }
};

const at = mkdtempSync(join(tmpdir(), "table-"));
const wishes = ["table", "fixtures/coat.svg", "--cloth", "examples/cloth.toml", "-o", at, "--no-open"];
const server = spawn(resolve(program), wishes, { stdio: ["ignore", "pipe", "inherit"] });
const address = await new Promise((told) => server.stdout.once("data", (text) => told(String(text).trim())));
const origin = new URL(address).origin;
const recipe = () => readFileSync(join(at, "recipe.toml"), "utf8");

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-quic"],
});

async function open(options) {
  const page = await browser.newPage(options);
  page.on("console", (said) => holds(said.type() !== "error", `the console says ${said.text()}`));
  page.on("pageerror", (error) => holds(false, error.message));
  page.on("request", (request) => holds(request.url().startsWith(origin), `asked of ${request.url()}`));
  await page.goto(address);
  await page.waitForSelector(".edge", { state: "attached" });
  return page;
}

const picture = (page, name) =>
  process.env.PICTURES && page.screenshot({ path: join(process.env.PICTURES, `${name}.png`), fullPage: true });

const steps = (page, count) => page.waitForFunction((count) => document.querySelectorAll("#steps > li").length === count, count);

const page = await open({ viewport: { width: 1400, height: 900 } });
await picture(page, "wide");
const before = recipe();

const [x, y] = await page.evaluate(() => {
  const line = document.querySelector('.edge[data-edge="back.side"]');
  const [x, y] = line.dataset.middle.split(" ").map(Number);
  const place = new DOMPoint(x, y).matrixTransform(line.ownerSVGElement.getScreenCTM());
  return [place.x, place.y];
});
await page.mouse.move(x, y);
await page.mouse.down();
await page.mouse.move(x - 8, y, { steps: 8 });
await page.waitForSelector("#trial .piece");
await page.waitForSelector("#told li");
await picture(page, "held");
holds(recipe() === before, "a drag keeps nothing before the seam is let go");
await page.mouse.up();
await steps(page, 1);
const kept = recipe();
holds(kept.includes('do = "move-seam"'), "letting go keeps the step");
await page.click("#undo");
await steps(page, 0);
holds(recipe() === before, "it is taken back");
await page.click("#again");
await steps(page, 1);
holds(recipe() === kept, "it is done again");

await page.click("#undo");
await steps(page, 0);
await page.mouse.move(x, y);
await page.mouse.down();
await page.mouse.move(x - 90, y, { steps: 8 });
await page.waitForSelector("#ways-out button");
await picture(page, "refused");
const said = () => page.locator("#verdicts").innerText();
holds((await said()).includes("201.38 mm"), `what is refused changes nothing above: ${await said()}`);
await page.mouse.up();
holds(recipe() === before, "what is refused is not kept");
await page.click("#ways-out button");
await page.waitForSelector("#trial .piece");
await picture(page, "pressed");
await page.click("#let-go");
await steps(page, 1);
holds(recipe().includes('do = "open-centre"'), "the way out is kept at a press");
await page.click("#undo");
await steps(page, 0);
await page.mouse.move(x, y);
await page.mouse.down();
await page.mouse.move(x - 8, y, { steps: 8 });
await page.mouse.up();
await steps(page, 1);
holds(recipe() === kept, "the same hand keeps the same step");

await page.focus('.edge[data-edge="back.side"]');
await page.keyboard.press("Enter");
for (let i = 0; i < 3; i += 1) await page.keyboard.press("ArrowLeft");
await page.waitForSelector("#trial .piece");
await page.keyboard.press("Escape");
holds((await page.locator("#trial .piece").count()) === 0 && recipe() === kept, "Escape leaves it as it was");
await page.keyboard.press("Enter");
for (let i = 0; i < 3; i += 1) await page.keyboard.press("ArrowLeft");
await page.waitForSelector("#trial .piece");
await page.keyboard.press("Enter");
await steps(page, 2);

// A form: a band along the hem, shown before it is kept; then changed, and another step put before it.
const thing = (value) => `[data-thing='${JSON.stringify(value)}']`;
const offer = async (value, says) => {
  await page.focus(thing(value));
  await page.keyboard.press("Enter");
  await page.locator("#own-offers button", { hasText: says }).click();
  await page.waitForSelector("#form:not([hidden])");
};
await offer({ edge: "back.hem" }, "border of even depth");
await picture(page, "form");
await page.fill("#field-depth", "12");
await page.waitForFunction(() => document.getElementById("refused").textContent.includes("depth"));
await page.fill("#field-depth", "8cm");
await page.waitForSelector("#trial .piece");
await picture(page, "form-tried");
holds(!recipe().includes("add-band"), "a form keeps nothing before it is kept");
await page.keyboard.press("Enter");
await steps(page, 3);
holds(recipe().includes('depth = "80mm"'), "the form is kept");
await page.click('[aria-label="Change step 3"]');
await page.waitForSelector("#form:not([hidden])");
await page.fill("#field-depth", "9cm");
await page.waitForSelector("#trial .piece");
await page.click("#let-go");
await page.waitForFunction(() => document.getElementById("form").hidden);
holds(recipe().includes('depth = "90mm"') && !recipe().includes('"80mm"'), "the step is changed");
await page.click('[aria-label="Insert before step 3"]');
await page.locator("#own-offers button", { hasText: "grainline" }).click();
await page.selectOption("#field-piece", "sleeve");
await page.fill("#field-to", "crosswise");
await page.waitForSelector("#trial .piece");
await picture(page, "inserted");
await page.click("#let-go");
await steps(page, 4);
holds(recipe().indexOf("turn-grain") < recipe().indexOf("add-band"), "a step is put before another");

// A line across the sleeve, by two places that are pressed.
const pressAt = async (name) => {
  const at = await page.evaluate((name) => {
    const line = document.querySelector(`.edge[data-edge="${name}"]`);
    const [x, y] = line.dataset.middle.split(" ").map(Number);
    const place = new DOMPoint(x, y).matrixTransform(line.ownerSVGElement.getScreenCTM());
    return [place.x, place.y];
  }, name);
  await page.mouse.click(...at);
};
await offer({ piece: "sleeve" }, "Cut a piece in two");
await page.focus("#field-line");
await pressAt("sleeve.underarm-back");
await page.waitForFunction(() => document.getElementById("field-line").value !== "");
await pressAt("sleeve.underarm-front");
await page.waitForFunction(() => document.getElementById("field-line").value.includes(" > "));
await page.waitForSelector("#trial .piece");
await picture(page, "line");
await page.click("#let-go");
await steps(page, 5);
holds(recipe().includes('do = "split"'), "a line that is pressed cuts the piece");

for (const colorScheme of ["light", "dark"]) {
  for (const width of [1280, 390]) {
    const tab = await open({ colorScheme, viewport: { width, height: 844 }, bypassCSP: true });
    await tab.evaluate(axe);
    const found = await tab.evaluate(() => globalThis.axe.run());
    for (const violation of found.violations) {
      holds(false, `${colorScheme}, ${width} px: ${violation.id}: ${violation.nodes[0]?.html}`);
    }
    await picture(tab, `${colorScheme}-${width}`);
    await tab.close();
  }
}

await browser.close();
server.kill("SIGINT");
const code = await new Promise((ended) => server.once("exit", ended));
holds(code === 0, `Ctrl-C ends it with ${code}`);
rmSync(at, { recursive: true });
process.exit(wrong > 0 ? 1 : 0);
