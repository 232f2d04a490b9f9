// What holds of the page at every size of the window: what is drawn answers where it is pressed, small pieces nearer by, words can be
// read, what the hand is told is in sight while it drags, and a page that holds something sees what others change.
//
//     npm install --prefix FOLDER playwright-core
//     node tests/table/in_sight.mjs FOLDER target/debug/retrue
//
// CHROMIUM names the browser where it is not /usr/bin/chromium; PICTURES a folder for what was seen.

import { holds, middle, open, picture, seen, steps, uppermost, withBrowser } from "./browser.mjs";

const SIZES = [[390, 844], [768, 1024], [1280, 800], [2560, 1440]];
const SHEETS = [["fixtures/coat.svg", "examples/cloth.toml"], ["fixtures/dress.svg", "38cm x 6m"]];
/** The least height of a letter's line that is read, pixels. */
const READ = 11;

/** What is in the hand after a press on the screen. */
async function pressed(page, [x, y]) {
  await page.mouse.click(x, y);
  return page.evaluate(() => document.querySelector("#sheet .held")?.dataset.called ?? null);
}

const DOTS = "#sheet .grip";
const LINES = "#sheet > .piece > .as-drawn path.line";

/** Where one of those that are drawn is on the screen, and what it is called; nothing where it is not drawn. */
const drawnAt = (page, sort, number, share) =>
  page.evaluate(([sort, number, share]) => {
    const line = document.querySelectorAll(sort)[number];
    if (getComputedStyle(line).strokeOpacity === "0") return null;
    const { x, y } = line.getPointAtLength(line.getTotalLength() * share).matrixTransform(line.getScreenCTM());
    return { called: line.dataset.called, at: [x, y] };
  }, [sort, number, share]);

async function answers(page, of) {
  const [dots, lines] = await Promise.all([DOTS, LINES].map((sort) => page.locator(sort).count()));
  let drawn = 0;
  for (let number = 0; number < dots; number += 1) {
    const dot = await drawnAt(page, DOTS, number, 0);
    if (!dot) continue;
    drawn += 1;
    const held = await pressed(page, dot.at);
    holds(held === dot.called, `${of}: a press on ${dot.called} takes ${held}`);
    await page.keyboard.press("Escape");
  }
  for (let number = 0; number < lines; number += 4) {
    const { at } = await drawnAt(page, LINES, number, 0.37);
    holds((await pressed(page, at)) !== null, `${of}: a press on a drawn line at ${at} does nothing`);
    await page.keyboard.press("Escape");
  }
  return drawn;
}

async function words(page, of) {
  const found = await page.evaluate(() => {
    const scale = document.getElementById("sheet").getScreenCTM().a;
    const isSeen = (text) => text.textContent !== "" && getComputedStyle(text).visibility !== "hidden";
    const sizes = [...document.querySelectorAll("#sheet text")].filter(isSeen).map((text) => Number.parseFloat(text.getAttribute("font-size")) * scale);
    const pieces = [...document.querySelectorAll("#sheet > .piece")].filter((piece) => {
      const [name, fit] = [".name, .own-name", ".fit"].map((kind) => [...piece.querySelectorAll(kind)].some(isSeen));
      return !name || (piece.querySelector(".fit") && !fit);
    });
    return { least: Math.min(...sizes), nameless: pieces.map((piece) => piece.dataset.name) };
  });
  holds(found.least >= READ, `${of}: words of ${found.least.toFixed(1)} px`);
  holds(found.nameless.length === 0, `${of}: without name or fit: ${found.nameless}`);
}

/** Drags a seam from its middle, and holds it there. */
async function drag(page, edge, by) {
  const [x, y] = await seen(page, await middle(page, edge));
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + by, y, { steps: 6 });
  return [x + by, y];
}

async function told(page, of) {
  for (const place of ["hand", "save"]) {
    await page.evaluate((place) => document.getElementById(place).scrollIntoView(), place);
    const [x, y] = await drag(page, "back.side", -4);
    await page.waitForSelector("#told li");
    const found = await page.evaluate(([x, y]) => {
      const { top, bottom } = document.getElementById("told").getBoundingClientRect();
      return { top, bottom, high: innerHeight, isFree: document.elementFromPoint(x, y)?.closest("#sheet") !== null };
    }, [x, y]);
    holds(found.top >= 0 && found.bottom <= found.high, `${of}, read on to ${place}: what is told is out of sight: ${JSON.stringify(found)}`);
    holds(found.isFree, `${of}: the hand is covered`);
    await picture(page, `told-${of.replaceAll(/\W+/g, "-")}-${place}`);
    await page.keyboard.press("Escape");
    await page.mouse.up();
  }
}

/** What is refused: the line is where the hand is, with a short note; why, and the ways out, where the sentences stand. */
async function refused(page) {
  await drag(page, "back.side", -60);
  await page.waitForSelector("#drawn .in-vain", { state: "attached" });
  const high = await page.evaluate(() => document.getElementById("note").offsetHeight);
  holds(high > 0 && high < 80, `the note of what is refused is ${high} px high`);
  holds((await page.locator("#hand #ways-out button").count()) > 0, "the ways out stand with what is told");
  await page.mouse.up();
  holds((await page.locator("#drawn .in-vain").count()) === 1, "what is refused stays in the hand");
}

/** What another page keeps is seen within a second, whatever is in the hand; and the hand goes on. */
async function agrees(browser, address, page) {
  const other = await open(browser, address, { viewport: { width: 900, height: 700 } });
  const edge = other.locator('.edge[data-edge="front.hem"]');
  await edge.focus();
  await other.keyboard.press("Enter");
  for (let i = 0; i < 4; i += 1) await other.keyboard.press("ArrowDown");
  await other.waitForSelector("#trial .piece");
  await other.keyboard.press("Enter");
  await steps(other, 1);
  const begun = performance.now();
  await steps(page, 1);
  holds(performance.now() - begun < 1000, `a page with something in its hand sees it after ${(performance.now() - begun).toFixed(0)} ms`);
  holds((await page.locator('.edge.held[data-edge="back.side"]').count()) === 1, "and still holds it");
  await page.keyboard.press("Escape");
  await other.click("#undo");
  await steps(page, 0);
  await other.close();
}

/** Where the window is turned while something is held, the pieces fit their place again. */
async function turned(page) {
  await page.setViewportSize({ width: 844, height: 390 });
  await pressed(page, await seen(page, await middle(page, "back.side")));
  await page.setViewportSize({ width: 390, height: 844 });
  await page.keyboard.press("Escape");
  await page.waitForFunction(() => {
    const ground = document.getElementById("sheet").getBoundingClientRect();
    const boxes = [...document.querySelectorAll("#sheet > .piece > .paper")].map((paper) => paper.getBoundingClientRect());
    return boxes.every(({ left, right, top, bottom }) => left >= ground.left && right <= ground.right + 1 && top >= ground.top && bottom <= ground.bottom + 1);
  });
}

/** A place of a piece's paper where nothing else lies, on the screen. */
const paperAt = async (page, name) => seen(page, await uppermost(page, `#sheet > .piece[data-name="${name}"] > .paper`));

/** A small piece is come nearer to at a second press; there each of its edges is taken where it is pressed, and by its name. */
async function small(page, of, name, press) {
  await press(await paperAt(page, name));
  await page.waitForSelector(`.piece[data-name="${name}"] > .paper.held`, { state: "attached" });
  holds(await page.locator('#edges-here button:has-text("Come nearer")').isVisible(), `${of}: ${name} can be come nearer to`);
  await press(await paperAt(page, name));
  await page.waitForSelector("#whole:not([hidden])");
  const edges = page.locator(`.piece[data-name="${name}"] > .edge`);
  for (const edge of await edges.evaluateAll((lines) => lines.map((line) => line.dataset.edge))) {
    await press(await seen(page, await middle(page, edge)));
    holds((await page.locator(`.edge.held[data-edge="${edge}"]`).count()) === 1, `${of}: ${edge} is taken where it is pressed`);
    await page.keyboard.press("Escape");
  }
  await page.locator("#whole").click();
  await page.waitForSelector("#whole[hidden]", { state: "attached" });
  await press(await paperAt(page, name));
  await page.locator("#edges-here button").last().click();
  holds((await page.locator(`.piece[data-name="${name}"] > .edge.held`).count()) === 1, `${of}: an edge of ${name} is taken by its name`);
  await page.keyboard.press("Escape");
}

/** A piece is cut from other cloth at a press. */
async function otherCloth(page) {
  await page.mouse.click(...(await paperAt(page, "belt")));
  await page.click('#cloth-here button:has-text("Cut it from companion")');
  await page.waitForSelector("#trial .piece");
  await page.click("#let-go");
  await steps(page, 1);
  holds((await page.locator("#steps > li").innerText()).includes("companion"), "the belt is cut from the companion cloth");
  await page.click("#undo");
  await steps(page, 0);
}

/** A finger is not told of keys. */
async function byFinger(browser, address) {
  const page = await open(browser, address, { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
  await page.touchscreen.tap(...(await seen(page, await middle(page, "back.side"))));
  await page.waitForSelector("#hand.holds");
  const says = await page.locator("#held").innerText();
  holds(!says.includes("Enter") && !says.includes("arrow"), `a finger is told: ${says}`);
  const top = await page.evaluate(() => document.getElementById("held").getBoundingClientRect().top);
  holds(top >= 0 && top < 844, `what a finger holds is said at ${top} px`);
  await page.close();
}

await withBrowser(async (browser, lay) => {
  for (const [sheet, cloth] of SHEETS) {
    const { address } = await lay(sheet, "--cloth", cloth);
    let dots = 0;
    for (const [width, height] of SIZES) {
      const page = await open(browser, address, { viewport: { width, height } });
      const of = `${sheet}, ${width} px`;
      dots += await answers(page, of);
      await words(page, of);
      if (sheet.includes("coat")) await told(page, of);
      await page.close();
    }
    holds(dots > 20, `${sheet}: dots that are drawn: ${dots}`);
  }
  const { address } = await lay("fixtures/coat.svg", "--cloth", "examples/cloth.toml");
  const page = await open(browser, address, { viewport: { width: 1280, height: 800 } });
  await refused(page);
  await agrees(browser, address, page);
  await turned(page);
  await page.setViewportSize({ width: 1280, height: 800 });
  for (const name of ["collar", "cuff", "belt"]) await small(page, "1280 px", name, (at) => page.mouse.click(...at));
  await otherCloth(page);
  const narrow = await open(browser, address, { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
  for (const name of ["collar", "cuff"]) await small(narrow, "390 px", name, (at) => narrow.touchscreen.tap(...at));
  await narrow.close();
  await byFinger(browser, address);
});
