// A bought drawing brought in: the skirt of fixtures/adopt in under 60 presses and 30 typed words, four pieces of a coat in under
// 150 and 60, each counted here; by keyboard alone, and by touch on a phone. What is made is, byte for byte, what
// `retrue adopt` makes by the same map.
//
//     npm install --prefix FOLDER playwright-core
//     node tests/table/bring_in.mjs FOLDER target/debug/retrue [PART OF THE NAME OF A WAY]
//
// CHROMIUM names the browser where it is not /usr/bin/chromium; PICTURES a folder for what was seen.

import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";

import { axe, holds, open, picture, press, seen, uppermost, withBrowser } from "./browser.mjs";

const PDF = "fixtures/adopt/pdf";
const SKIRT = `${PDF}/skirt-shaped-back-cutting-lines.pdf`;
const COAT = `${PDF}/coat-cutting-lines.pdf`;

/** What stands for a thing. */
const of = (thing) => `#sheet [data-thing='${JSON.stringify(thing)}']`;
const outline = (letter) => ({ outline: letter });
const edge = (letter, number) => ({ edge: [letter, number] });
const line = (letter) => ({ line: letter });

/** Someone who brings a drawing in: counts presses, and words typed. */
class Maker {
  presses = 0;
  words = 0;

  constructor(page) {
    this.page = page;
  }

  /** Waits until the page has shown what came of the last press. */
  async settled() {
    await this.page.waitForFunction(() => !document.body.hasAttribute("aria-busy"));
  }

  /** Presses something that is no part of the drawing. */
  async pressed(what) {
    this.presses += 1;
    await press(this.page, what);
    await this.settled();
  }

  /** Presses a thing of the drawing where it lies uppermost. */
  async thing(thing) {
    this.presses += 1;
    await this.page.evaluate(() => document.getElementById("ground").scrollIntoView());
    const at = await seen(this.page, await uppermost(this.page, of(thing)));
    if (await this.page.evaluate(() => navigator.maxTouchPoints > 0)) await this.page.touchscreen.tap(...at);
    else await this.page.mouse.click(...at);
    await this.page.waitForSelector(`${of(thing)}.held`, { state: "attached" });
    await this.settled();
  }

  size(at) {
    return this.pressed(this.page.locator("#size-choices .size").nth(at));
  }

  /** Answers what is missing. */
  answer(sentence, says) {
    const item = this.page.locator("#missing > li", { hasText: sentence }).first();
    return this.pressed(item.locator("button", { hasText: says }).first());
  }

  /** Says something of what is in the hand. */
  offer(says) {
    return this.pressed(this.page.locator("#offers button", { hasText: says }).first());
  }

  /** Takes one of the words of a field. */
  word(field, value) {
    return this.pressed(this.page.locator(`#fields button[data-key="${field} ${value}"]`));
  }

  /** Writes a field. */
  async write(field, text) {
    this.presses += 1;
    this.words += text.split(/\s+/).length;
    const input = this.page.locator(`#fields input[data-key="field ${field}"]`);
    await input.fill(text);
    await input.press("Enter");
    await this.settled();
  }

  /** Names an edge, and says more of it. */
  async edge(letter, number, name, more = {}) {
    await this.thing(edge(letter, number));
    const offered = this.page.locator(`#fields button[data-key="name ${name}"]`);
    if ((await offered.count()) > 0) await this.word("name", name);
    else await this.write("name", name);
    if (more.finish) await this.offer(more.finish);
    if (more.allowance) await this.word("allowance", more.allowance);
    if (more.sewn) await this.offer(more.sewn);
  }

  /** Says of an outline which piece it is. */
  async piece(letter, name, words) {
    await this.thing(outline(letter));
    const offered = this.page.locator(`#fields button[data-key="name ${name}"]`);
    if ((await offered.count()) > 0) await this.word("name", name);
    else await this.write("name", name);
    for (const [field, value] of Object.entries(words)) await this.word(field, value);
  }

  async lay() {
    await this.pressed(this.page.locator("#make"));
    await this.page.waitForSelector("#done", { state: "attached" });
    await this.page.waitForSelector(".edge", { state: "attached" });
  }
}

/** What is still missing. */
const missing = (page) => page.locator("#missing p").allTextContents();

/** The pattern in the folder is what the command makes by the map in the folder. */
function isWhatAdoptMakes(laid, drawing) {
  const [program] = process.argv.slice(3);
  const map = join(laid.place, "map.toml");
  const made = spawnSync(resolve(program), ["--quiet", "adopt", drawing, "--map", map, "-o", "-"], { maxBuffer: 1 << 28 }).stdout;
  holds(made.equals(readFileSync(join(laid.place, "bought.svg"))), `${drawing}: the same bytes as adopt`);
}

const begin = async (browser, laid, options) => open(browser, laid.address, options, "#size-choices .size");

async function skirt(maker) {
  await maker.size(2);
  await maker.page.waitForSelector(of(outline("A")), { state: "attached" });
  await picture(maker.page, "bring-skirt");
  await maker.piece("A", "back", { drawn: "cutting-line", allowance: "15mm", cut: "2" });
  await picture(maker.page, "bring-piece");
  await maker.piece("B", "front", { drawn: "cutting-line", allowance: "15mm" });
  const waist = { finish: "It stays free", allowance: "10mm" };
  await maker.edge("A", 1, "waist", waist);
  await picture(maker.page, "bring-edge");
  await maker.edge("A", 2, "side");
  await maker.edge("A", 3, "hem", { allowance: "40mm" });
  await maker.edge("A", 4, "centre", { sewn: "mirrored copy" });
  await maker.edge("B", 1, "waist", waist);
  await maker.edge("B", 2, "centre", { finish: "fold" });
  await maker.edge("B", 3, "hem", { allowance: "40mm" });
  await maker.edge("B", 4, "side");
  await maker.answer("waist to", "They are not sewn");
  await maker.answer("front.side to", "It is right");
  // What looks like a dart is guessed to be one, and only waits to be confirmed.
  for (const [piece, letter] of [["back", "a"], ["front", "i"]]) {
    await maker.thing(line(letter));
    holds((await maker.page.locator("#held").textContent()).includes("it is a dart"), `line ${letter} is guessed to be a dart`);
    await maker.answer(`${piece}.dart-1 is a dart`, "It is right");
  }
  for (const piece of ["back", "front"]) await maker.answer(`on ${piece}: say what they are`, "They are levels");
}

/** Four pieces of the coat: front, back, sleeve and front facing; the others are none. */
async function coat(maker) {
  await maker.size(2);
  await maker.page.waitForSelector(of(outline("N")), { state: "attached" });
  for (const letter of ["E", "F", "G", "H", "I", "J", "L", "M", "N"]) await maker.answer(`Outline ${letter} is`, "It is no piece");
  const cut = { drawn: "cutting-line", allowance: "15mm" };
  await maker.piece("A", "front", { ...cut, cut: "2" });
  await maker.piece("B", "back", cut);
  await maker.piece("C", "sleeve", { ...cut, cut: "2" });
  await maker.piece("D", "front-facing", { ...cut, cut: "2" });
  const edges = {
    A: ["shoulder", "neck", "centre", "hem", "side", "armhole"],
    B: ["neck", "shoulder", "armhole", "side", "hem", "centre"],
    C: ["cap", "underarm-front", "hem", "underarm-back"],
    D: ["shoulder", "neck", "centre", "hem", "inner"],
  };
  for (const [letter, names] of Object.entries(edges)) {
    for (const [at, name] of names.entries()) {
      const more = name === "hem" ? { allowance: "40mm" } : name === "inner" ? { allowance: "0mm" } : {};
      await maker.edge(letter, at + 1, name, `${letter}.${name}` === "B.centre" ? { finish: "fold" } : more);
    }
  }
  await maker.answer("seams are guessed", "All of them are right");
  // The cap is not guessed along cutting lines: it is pressed, then what it is sewn to, one after the other.
  await maker.thing(edge("C", 1));
  await maker.thing(edge("B", 3));
  await maker.offer("Sew it to sleeve.cap");
  await maker.thing(edge("A", 6));
  await maker.offer("Sew it to sleeve.cap, on after back.armhole");
  for (const edge of ["back.neck", "front-facing.inner", "front-facing.shoulder"]) await maker.answer(`${edge} is not sewn`, "It stays free");
  await picture(maker.page, "bring-coat");
  for (;;) {
    const [first] = await missing(maker.page);
    if (first === undefined) break;
    await maker.answer(first, first.includes(": say what") ? "mean" : "Ease");
  }
}

/** The same by keyboard alone: what is pressed is gone to with Tab, and pressed with Enter. */
class KeyMaker extends Maker {
  async go(selector) {
    const most = 2500;
    for (let k = 0; k < most; k += 1) {
      if (await this.page.evaluate((selector) => document.activeElement?.matches(selector), selector)) return;
      await this.page.keyboard.press("Tab");
    }
    throw new Error(`no key leads to ${selector}`);
  }

  async pressed(what) {
    this.presses += 1;
    await what.evaluate((button) => button.setAttribute("data-wanted", "yes"));
    await this.go("[data-wanted]");
    await this.page.evaluate(() => document.activeElement.removeAttribute("data-wanted"));
    await this.page.keyboard.press("Enter");
    await this.settled();
  }

  async thing(thing) {
    this.presses += 1;
    await this.go(of(thing));
    await this.page.keyboard.press("Enter");
    await this.page.waitForSelector(`${of(thing)}.held`, { state: "attached" });
    await this.settled();
  }
}

/** The page against the rules of accessibility, and nothing of it wider than its window. */
async function isAccessible(page, name) {
  await page.evaluate(axe());
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    for (const width of [390, 768, 1280]) {
      await page.setViewportSize({ width, height: 900 });
      const found = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ["violations"] }));
      const told = found.violations.map((wrong) => `${wrong.id}: ${wrong.nodes.map((node) => node.html.slice(0, 120)).join(" | ")}`);
      holds(told.length === 0, `${name}, ${width} px, ${colorScheme}: ${told.join("; ")}`);
      const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      holds(over <= 0, `${name}: ${over} px wider than the window of ${width} px`);
      await picture(page, `${name}-${width}-${colorScheme}`);
    }
  }
  await page.emulateMedia({ colorScheme: "light" });
  await page.setViewportSize({ width: 1280, height: 900 });
}

const isTrue = async (page) => holds((await page.locator("#is-true").getAttribute("class")) === "good", await page.locator("#is-true").textContent());

/** What is brought in lies on the table, true, as adopt makes it; and can be gone back to. */
async function isLaid(maker, laid, drawing) {
  holds((await missing(maker.page)).length === 0, `nothing is missing: ${await missing(maker.page)}`);
  await maker.lay();
  await isTrue(maker.page);
  isWhatAdoptMakes(laid, drawing);
}

const WAYS = {
  async "by mouse"(browser, lay) {
    const laid = await lay(SKIRT);
    const page = await begin(browser, laid, { viewport: { width: 1280, height: 900 }, bypassCSP: true });
    await isAccessible(page, "bring-sizes");
    const maker = new Maker(page);
    await skirt(maker);
    await picture(page, "bring-ready");
    await isLaid(maker, laid, SKIRT);
    await picture(page, "bring-laid");
    console.log(`skirt: ${maker.presses} presses, ${maker.words} words`);
    holds(maker.presses < 60 && maker.words < 30, "the skirt in under 60 presses and 30 words");
    await press(page, page.locator("#to-drawing a"));
    await page.waitForSelector(of(outline("A")), { state: "attached" });
    await maker.thing(edge("A", 2));
    await isAccessible(page, "bring-edge");
  },
  async "four pieces of a coat"(browser, lay) {
    const laid = await lay(COAT);
    const page = await begin(browser, laid, { viewport: { width: 1280, height: 900 } });
    const maker = new Maker(page);
    await coat(maker);
    await isLaid(maker, laid, COAT);
    await picture(page, "bring-coat-laid");
    console.log(`coat: ${maker.presses} presses, ${maker.words} words`);
    holds(maker.presses < 150 && maker.words < 60, "four pieces of a coat in under 150 presses and 60 words");
  },
  async "by keyboard alone"(browser, lay) {
    const laid = await lay(SKIRT);
    const page = await begin(browser, laid, { viewport: { width: 1280, height: 900 } });
    const maker = new KeyMaker(page);
    await skirt(maker);
    await isLaid(maker, laid, SKIRT);
    console.log(`by keyboard: ${maker.presses} things pressed`);
  },
  async "by touch on a phone"(browser, lay) {
    const laid = await lay(SKIRT);
    const page = await begin(browser, laid, { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
    const maker = new Maker(page);
    await skirt(maker);
    await picture(page, "bring-phone");
    await isLaid(maker, laid, SKIRT);
    console.log(`by touch: ${maker.presses} presses`);
  },
  async "a file that is dropped"(browser, lay) {
    const laid = await lay();
    const page = await open(browser, laid.address, { viewport: { width: 1280, height: 900 }, bypassCSP: true }, "#invite:not([hidden])");
    await isAccessible(page, "bring-invite");
    await page.setInputFiles("#files", { name: "nonsense.pdf", mimeType: "application/pdf", buffer: Buffer.from("%PDF-1.4 nothing") });
    await page.waitForFunction(() => document.getElementById("stage").textContent.includes("cannot be read"));
    holds((await page.locator("#broken").textContent()).length > 10, "a broken file is a sentence on the page");
    await isAccessible(page, "bring-broken");
    await page.setInputFiles("#files", resolve(SKIRT));
    await page.waitForSelector("#size-choices .size");
    const maker = new Maker(page);
    await skirt(maker);
    await isLaid(maker, laid, SKIRT);
  },
};

await withBrowser(async (browser, lay) => {
  const asked = process.argv[4];
  for (const [name, way] of Object.entries(WAYS)) if (!asked || name.includes(asked)) await way(browser, lay);
});
