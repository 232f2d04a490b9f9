// Words that the scripts in a browser share: a table that is served, a page that watches itself, hands and keys on it. PAGE names
// a folder, src/table/page, whose files stand in for those that were built in.

import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const [folder, program] = process.argv.slice(2);
if (!folder || !program) {
  console.error(`say: node ${process.argv[1]} FOLDER PROGRAM`);
  process.exit(2);
}
const from = createRequire(join(resolve(folder), "package.json"));

/** axe-core, to be evaluated in a page. */
export const axe = () => readFileSync(new URL("../browser/axe/axe.min.js", import.meta.url), "utf8");

let wrong = 0;

/** Notes what should hold. */
export function holds(is, what) {
  if (is) return;
  wrong += 1;
  console.log(`wrong: ${what}`);
}

/** A table in a folder of its own, served until it ends. */
export async function table(...wishes) {
  const place = mkdtempSync(join(tmpdir(), "table-"));
  const server = spawn(resolve(program), ["table", ...wishes, "-o", place, "--no-open"], { stdio: ["ignore", "pipe", "ignore"] });
  const address = await new Promise((told, failed) => {
    server.stdout.once("data", (text) => told(String(text).trim()));
    server.once("exit", (code) => failed(new Error(`the table ended with ${code} before it said its address`)));
  });
  const recipe = () => readFileSync(join(place, "recipe.toml"), "utf8");
  const end = async () => {
    const ended = new Promise((told) => server.once("exit", told));
    server.kill("SIGINT");
    const code = await ended;
    rmSync(place, { recursive: true });
    return code;
  };
  return { address, place, server, recipe, end };
}

/** Does work with a browser; whatever becomes of it, the browser and all tables end. Ends with 1 where something is wrong. */
export async function withBrowser(work) {
  const { chromium } = from("playwright-core");
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-quic"],
  });
  const tables = [];
  const lay = async (...wishes) => {
    const laid = await table(...wishes);
    tables.push(laid);
    return laid;
  };
  try {
    await work(browser, lay);
  } catch (error) {
    holds(false, error.stack ?? error);
  } finally {
    await browser.close();
    for (const laid of tables) holds((await laid.end()) === 0, "Ctrl-C ends the table");
  }
  process.exit(wrong > 0 ? 1 : 0);
}

/** Answers with a file of the page as it stands in a folder, in place of the one that was built in. */
async function standIn(route, folder) {
  const { pathname } = new URL(route.request().url());
  const response = await route.fetch({ maxRedirects: 0 });
  const isBringing = pathname === "/bring" || (pathname === "/" && (await response.text()).includes('class="bring"'));
  const file = join(folder, isBringing ? "bring/bring.html" : pathname === "/" ? "table.html" : pathname);
  if (!existsSync(file) || !statSync(file).isFile()) return route.fulfill({ response });
  // What was not built in yet.
  if (response.status() === 404) return route.fulfill({ path: file });
  return route.fulfill(response.status() === 200 ? { response, body: readFileSync(file, "utf8") } : { response });
}

/** A page of a table, which watches that nothing is asked of others and nothing is wrong in its console. */
export async function open(browser, address, options, waitsFor = ".edge") {
  const page = await browser.newPage(options);
  const { origin } = new URL(address);
  page.on("console", (said) => holds(said.type() !== "error", `the console says ${said.text()}`));
  page.on("pageerror", (error) => holds(false, error.message));
  page.on("request", (request) => holds(request.url().startsWith(origin), `asked of ${request.url()}`));
  const isOfPage = (url) => url.origin === origin && /^\/(bring)?$|\.(js|css)$/.test(url.pathname);
  if (process.env.PAGE) await page.route(isOfPage, (route) => standIn(route, process.env.PAGE));
  await page.goto(address);
  // What one is led on to is not stood in for.
  if (process.env.PAGE) await page.goto(origin);
  await page.waitForSelector(waitsFor, { state: "attached" });
  return page;
}

/** Keeps a picture of what is seen, where PICTURES names a folder. */
export const picture = (page, name) =>
  process.env.PICTURES && page.screenshot({ path: join(process.env.PICTURES, `${name}.png`) });

/** Waits until there are so many steps. */
export const steps = (page, count) =>
  page.waitForFunction((count) => document.querySelectorAll("#steps > li").length === count, count);

/** A place of the sheet on the screen. */
export const seen = (page, [x, y]) =>
  page.evaluate(([x, y]) => {
    const place = new DOMPoint(x, y).matrixTransform(document.getElementById("sheet").getScreenCTM());
    return [place.x, place.y];
  }, [x, y]);

/** Where an edge is at a share of its length, mm on the sheet. */
export const onEdge = (page, edge, share) =>
  page.evaluate(([edge, share]) => {
    const line = document.querySelector(`.edge[data-edge="${edge}"]`);
    const { x, y } = line.getPointAtLength(line.getTotalLength() * share);
    return [x, y];
  }, [edge, share]);

/** The middle of an edge, mm on the sheet. */
export const middle = (page, edge) =>
  page.evaluate((edge) => document.querySelector(`.edge[data-edge="${edge}"]`).dataset.middle.split(" ").map(Number), edge);

/** Both ends of a mark, mm on the sheet. */
export const endsOf = (page, called) =>
  page.evaluate((called) => {
    const line = document.querySelector(`.mark[data-called="${called}"]`);
    return [0, line.getTotalLength()].map((at) => line.getPointAtLength(at)).map(({ x, y }) => [x, y]);
  }, called);

/** What stands for a thing. */
export const thing = (value) => `[data-thing='${JSON.stringify(value)}']`;

/** A place at which a thing lies uppermost, mm on the sheet. */
export const uppermost = (page, selector) =>
  page.evaluate((selector) => {
    const line = document.querySelector(selector);
    const { x, y, width, height } = line.getBBox();
    const along = [...Array(40).keys()].map((k) => line.getPointAtLength(line.getTotalLength() * (0.3 + k / 100)));
    const within = [...Array(400).keys()].map((k) => ({ x: x + (width * (k % 20)) / 20, y: y + (height * Math.floor(k / 20)) / 20 }));
    const places = line.classList.contains("paper") ? within : along;
    const is = (place) => {
      const at = new DOMPoint(place.x, place.y).matrixTransform(line.getScreenCTM());
      return document.elementFromPoint(at.x, at.y) === line;
    };
    const found = places.filter(is);
    const middle = found[found.length >> 1];
    return [middle.x, middle.y];
  }, selector);

/** Presses something that is no part of the ground: with the finger where there is one, clear of the ground that stays above. */
export const press = async (page, what) => {
  if (!(await page.evaluate(() => navigator.maxTouchPoints > 0))) return what.click();
  await what.evaluate((thing) => thing.scrollIntoView({ block: "end" }));
  return what.tap();
};

/** Opens the form of what can be done with what is in the hand. */
export async function choose(page, says) {
  const offer = page.locator("#offers:not([hidden]) button", { hasText: says }).first();
  await offer.waitFor({ state: "attached" });
  await page.evaluate(() => {
    document.getElementById("more-offers").open = true;
  });
  await press(page, offer);
  await page.waitForSelector("#form:not([hidden])");
}

/** Fills in a form, and keeps it as step of a number. */
export async function keepForm(page, fields, number) {
  await page.evaluate(() => {
    document.getElementById("more").open = true;
  });
  for (const [name, value] of Object.entries(fields)) {
    const field = page.locator(`#field-${name}`);
    if ((await field.evaluate((field) => field.tagName)) === "SELECT") await field.selectOption(value);
    else await field.fill(value);
  }
  await page.waitForFunction(() => !document.getElementById("let-go").disabled);
  await press(page, page.locator("#let-go"));
  await steps(page, number);
}
