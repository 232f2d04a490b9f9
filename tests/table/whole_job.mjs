// The whole job at the table, from the pattern to what is cut, by mouse and by keyboard: a limit of taste, a plan taken as steps,
// a layout changed by hand, the pattern on paper and the report. At the end the folder has the files that the commands leave,
// byte for byte, and the pattern is true. Looks at each screen wide and narrow, light and dark.
//
//     npm install --prefix FOLDER playwright-core
//     node tests/table/whole_job.mjs FOLDER target/debug/retrue
//
// CHROMIUM names the browser where it is not /usr/bin/chromium; PICTURES a folder for what was seen.

import { spawnSync } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";

import { axe, holds, open, picture, thing, withBrowser } from "./browser.mjs";

const program = resolve(process.argv[3]);
/** Cloth that is too narrow for the coat as it is, and long enough. */
const CLOTH = "56cm x 9m";
/** How long a search may take, ms. */
const LONG = 180_000;

/** Does a command in a folder; gives its exit code. */
const command = (place, ...wishes) => spawnSync(program, ["--quiet", ...wishes], { cwd: place }).status;

/** Holds a file of the table against what a command writes. */
function isAsCommand(place, file, ...wishes) {
  const other = `command-${file}`;
  const code = command(place, ...wishes, "-o", other);
  holds(code === 0 || code === 1, `${wishes[0]} ends with ${code}`);
  const same = existsSync(join(place, file)) && readFileSync(join(place, file)).equals(readFileSync(join(place, other)));
  holds(same, `${file} is what ${wishes.join(" ")} writes`);
}

/** What is done with a thing that can be pressed: by mouse, or by keyboard alone. */
const ways = {
  mouse: {
    press: (what) => what.click(),
    write: (what, text) => what.fill(text),
    choose: (what, word) => what.selectOption(word),
  },
  keyboard: {
    press: async (what) => {
      await what.focus();
      await what.press("Enter");
    },
    write: async (what, text) => {
      await what.focus();
      await what.press("Control+a");
      await what.pressSequentially(text);
    },
    choose: async (what, word) => {
      await what.focus();
      await what.selectOption(word);
    },
  },
};

/** Opens all that is folded away. */
const unfold = async (page, way, form) => {
  for (const folded of await page.locator(`#${form} details`).all()) {
    if (!(await folded.evaluate((details) => details.open))) await way.press(folded.locator(":scope > summary"));
  }
};

/** Waits until nothing runs beside the table. */
const ended = (page, stop) => page.waitForFunction((stop) => document.getElementById(stop).hidden, stop, { timeout: LONG });

async function job(browser, lay, name) {
  const way = ways[name];
  const { address, place, recipe } = await lay("fixtures/coat.svg", "--cloth", CLOTH);
  const page = await open(browser, address, { viewport: { width: 1280, height: 900 } });
  page.setDefaultTimeout(15_000);

  // What is not wanted: the sleeve stays whole.
  await page.focus(thing({ piece: "sleeve" }));
  await page.keyboard.press("Enter");
  await way.press(page.locator("#taste-here button"));
  await page.waitForFunction(() => document.getElementById("taste").textContent.includes("sleeve stays whole"));
  await page.keyboard.press("Escape");
  holds(readFileSync(join(place, "taste.toml"), "utf8").includes('whole = ["sleeve"]'), "the plan file says so");

  // A plan, taken.
  await unfold(page, way, "plan-form");
  await way.write(page.locator("#plan-recuts"), "60");
  await way.write(page.locator("#plan-iterations"), "40");
  // The layout below is then of another wish: for the same one the better of both would stay.
  await way.write(page.locator("#plan-grain-tolerance"), "1");
  await way.press(page.locator("#plan-go"));
  await page.waitForSelector("#ways-found > li", { timeout: LONG });
  await picture(page, `${name}-planning`);
  await ended(page, "plan-stop");
  await page.locator("#ways-found").scrollIntoViewIfNeeded();
  await picture(page, `${name}-planned`);
  await way.press(page.locator('[aria-label="Take this one: way 1"]'));
  await page.waitForSelector("#steps > li");
  holds(recipe().includes("[[step]]"), "the way is taken as steps");
  holds((await page.locator("#is-true").innerText()).startsWith("True"), "and is true");
  await page.waitForSelector("#laid .copy");
  holds((await page.locator("#laid .copy [tabindex]").count()) > 0, "with its layout, to be changed by hand");
  await page.focus("#undo");
  await way.press(page.locator("#undo"));
  await page.waitForFunction(() => document.querySelectorAll("#steps > li").length === 0);
  await way.press(page.locator("#again"));
  await page.waitForSelector("#steps > li");

  // A layout, begun anew.
  await unfold(page, way, "lay-form");
  await way.write(page.locator("#lay-iterations"), "60");
  await way.press(page.locator("#lay-go"));
  await page.waitForFunction(() => document.getElementById("lay-says").textContent.includes("lie on the cloth"), null, { timeout: LONG });
  await ended(page, "lay-stop");
  await page.waitForSelector("#laid .copy [tabindex]");
  await picture(page, `${name}-laid`);
  isAsCommand(place, "layout.svg", "lay", "pattern.svg", "--cloth", CLOTH, "--iterations", "60");
  const before = readFileSync(join(place, "layout.svg"), "utf8");

  // A copy moved by hand: to the end of the cloth, where there is room.
  const copy = page.locator("#laid .copy [tabindex]").first();
  const keeping = () => page.waitForResponse((answer) => answer.url().endsWith("/lay/keep"));
  let kept;
  if (name === "mouse") {
    await page.mouse.move(300, 450);
    for (let i = 0; i < 3; i += 1) await page.mouse.wheel(0, 400);
    const [box, end] = [await copy.boundingBox(), await page.locator(".cloth-edge").nth(1).boundingBox()];
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(end.x + end.width / 2, end.y - 5, { steps: 8 });
    await page.waitForSelector("#trial .copy");
    await page.waitForSelector("#told li");
    await picture(page, `${name}-moved`);
    kept = keeping();
    await page.mouse.up();
  } else {
    await copy.focus();
    for (let i = 0; i < 17; i += 1) await page.keyboard.press("PageDown");
    await page.waitForSelector("#trial .copy");
    await page.waitForSelector("#told li");
    await picture(page, `${name}-moved`);
    kept = keeping();
    await page.keyboard.press("Enter");
  }
  await kept;
  await page.waitForSelector("#lay-back:not([hidden])");
  holds(readFileSync(join(place, "layout.svg"), "utf8") !== before, `${name}: the layout that was changed by hand is kept`);
  await Promise.all([page.waitForResponse((answer) => answer.url().endsWith("/lay/back")), way.press(page.locator("#lay-back"))]);
  holds(readFileSync(join(place, "layout.svg"), "utf8") === before, `${name}: the move is taken back`);

  // On paper, corrected for a printer that is off; and the report.
  await way.choose(page.locator("#paper-paper"), "a3");
  await way.write(page.locator("#bar-across"), "99.2mm");
  await way.write(page.locator("#bar-down"), "100.3mm");
  await way.press(page.locator("#paper button"));
  await page.waitForFunction(() => document.getElementById("saved").textContent.includes("pattern.pdf"), null, { timeout: LONG });
  await way.press(page.locator("#report button"));
  await page.waitForFunction(() => document.getElementById("saved").textContent.includes("report.html"), null, { timeout: LONG });
  await page.locator("#saved").scrollIntoViewIfNeeded();
  await picture(page, `${name}-saved`);

  isAsCommand(place, "pattern.svg", "apply", "recipe.toml");
  isAsCommand(place, "pattern.pdf", "print", "pattern.svg", "--paper", "a3", "--measured", "100mm=99.2mm x 100.3mm");
  isAsCommand(place, "report.html", "report", "pattern.svg", "--before", resolve("fixtures/coat.svg"), "--layout", "layout.svg");
  holds(command(place, "check", "pattern.svg") === 0, "the pattern is true");
  for (const file of ["recipe.toml", "pattern.svg", "layout.svg", "sewn.svg", "pattern.pdf", "report.html", "taste.toml"]) {
    holds((await page.request.get(new URL(`/saved/${file}`, address).href)).status() === 200, `a link opens ${file}`);
  }
  return { page, address };
}

await withBrowser(async (browser, lay) => {
  await (await job(browser, lay, "keyboard")).page.close();
  const { page, address } = await job(browser, lay, "mouse");
  await page.close();
  for (const colorScheme of ["light", "dark"]) {
    for (const width of [1280, 768, 390]) {
      const tab = await open(browser, address, { colorScheme, viewport: { width, height: 844 }, bypassCSP: true });
      await tab.waitForSelector("#laid .copy");
      await tab.evaluate(axe());
      const found = await tab.evaluate(() => globalThis.axe.run());
      for (const violation of found.violations) {
        holds(false, `${colorScheme}, ${width} px: ${violation.id}: ${violation.nodes[0]?.html}`);
      }
      await picture(tab, `whole-${colorScheme}-${width}`);
      await tab.locator("#lay").scrollIntoViewIfNeeded();
      await picture(tab, `lay-${colorScheme}-${width}`);
      await tab.locator("#save").scrollIntoViewIfNeeded();
      await picture(tab, `save-${colorScheme}-${width}`);
      await tab.close();
    }
  }
});
