// A bought drawing brought in: the skirt of fixtures/adopt in under 60 presses and 30 typed words, four pieces of a coat in under
// 150 and 60, each counted here; by keyboard alone, and by touch on a phone. What is made is, byte for byte, what
// `retrue adopt` makes by the same map.
//
//     npm install --prefix FOLDER playwright-core
//     node tests/table/bring_in.mjs FOLDER target/debug/retrue
//
// CHROMIUM names the browser where it is not /usr/bin/chromium; PICTURES a folder for what was seen.

import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";

import { holds, open, picture, press, seen, uppermost, withBrowser } from "./browser.mjs";

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
  async #settled() {
    await this.page.waitForFunction(() => !document.body.hasAttribute("aria-busy"));
  }

  async #press(what) {
    this.presses += 1;
    await press(this.page, what);
    await this.#settled();
  }

  /** Presses a thing of the drawing where it lies uppermost. */
  async thing(thing) {
    this.presses += 1;
    await this.page.evaluate(() => document.getElementById("ground").scrollIntoView());
    const at = await seen(this.page, await uppermost(this.page, of(thing)));
    if (await this.page.evaluate(() => navigator.maxTouchPoints > 0)) await this.page.touchscreen.tap(...at);
    else await this.page.mouse.click(...at);
    await this.page.waitForSelector(`${of(thing)}.held`, { state: "attached" });
    await this.#settled();
  }

  size(at) {
    return this.#press(this.page.locator("#size-choices .size").nth(at));
  }

  /** Answers what is missing. */
  answer(sentence, says) {
    const item = this.page.locator("#missing > li", { hasText: sentence }).first();
    return this.#press(item.locator("button", { hasText: says }).first());
  }

  /** Says something of what is in the hand. */
  offer(says) {
    return this.#press(this.page.locator("#offers button", { hasText: says }).first());
  }

  /** Takes one of the words of a field. */
  word(field, value) {
    return this.#press(this.page.locator(`#fields button[data-key="${field} ${value}"]`));
  }

  /** Writes a field. */
  async write(field, text) {
    this.presses += 1;
    this.words += text.split(/\s+/).length;
    const input = this.page.locator(`#fields input[data-key="field ${field}"]`);
    await input.fill(text);
    await input.press("Enter");
    await this.#settled();
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
    this.presses += 1;
    await press(this.page, this.page.locator("#make"));
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
  const made = execFileSync(resolve(program), ["--quiet", "adopt", drawing, "--map", map, "-o", "-"], { maxBuffer: 1 << 28 });
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
  for (const letter of ["a", "i"]) {
    await maker.thing(line(letter));
    await maker.offer("It is a dart");
  }
  for (const piece of ["back", "front"]) await maker.answer(`on ${piece} are not said`, "They are levels");
}

await withBrowser(async (browser, lay) => {
  {
    const laid = await lay(SKIRT);
    const page = await begin(browser, laid, { viewport: { width: 1280, height: 900 } });
    await picture(page, "bring-sizes");
    const maker = new Maker(page);
    await skirt(maker);
    holds((await missing(page)).length === 0, `nothing is missing: ${await missing(page)}`);
    await picture(page, "bring-ready");
    await maker.lay();
    await picture(page, "bring-laid");
    console.log(`skirt: ${maker.presses} presses, ${maker.words} words`);
    holds(maker.presses < 60 && maker.words < 30, "the skirt in under 60 presses and 30 words");
    holds((await page.locator("#is-true").getAttribute("class")) === "good", await page.locator("#is-true").textContent());
    isWhatAdoptMakes(laid, SKIRT);
  }
});
