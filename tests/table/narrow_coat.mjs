// The narrow coat made from scratch: by mouse, by keyboard alone, and by touch on a phone. Each ends with a coat that fits, is
// true and of the same size as that of the shipped recipe, of as many pieces.
//
//     npm install --prefix FOLDER playwright-core
//     node tests/table/narrow_coat.mjs FOLDER target/debug/retrue
//
// CHROMIUM names the browser where it is not /usr/bin/chromium; PICTURES a folder for what was seen.

import { choose, endsOf, holds, keepForm, middle, onEdge, open, picture, press, seen, steps, thing, uppermost, withBrowser } from "./browser.mjs";

const CLOTH = ["--cloth", "examples/cloth.toml"];

/** What stands above the table, and how many pieces lie on it. */
const told = (page) =>
  page.evaluate(() => ({
    verdicts: ["fits", "is-true", "same-size"].map((id) => document.getElementById(id).className),
    pieces: document.querySelectorAll("#sheet > .piece").length,
  }));

/** The piece that has a mark or an edge of a name. */
const pieceWith = (page, selector) => page.evaluate((selector) => document.querySelector(selector).closest(".piece").dataset.name, selector);
const withMark = (page, name) => pieceWith(page, `.mark[data-called^="${name} of "]`);
const withEdge = (page, name) => pieceWith(page, `.edge[data-edge$=".${name}"]`);

/** Where the point lies through which the seam of the front is to run, mm: among the places of a step that names it. */
const bustPoint = (page) =>
  page.evaluate(async () => {
    const step = { do: "split", piece: "front", line: "bust-point > hem@0mm" };
    const asked = await fetch("/try", { method: "POST", body: JSON.stringify({ page: 1, number: Date.now(), wish: { step } }) });
    return (await asked.json()).places[0].at;
  });

/** A pointer: a mouse, or a finger. */
class Pointer {
  constructor(page, touch) {
    this.page = page;
    this.touch = touch;
  }

  async #send(type, [x, y]) {
    const points = type === "touchEnd" ? [] : [{ x, y }];
    await this.touch.send("Input.dispatchTouchEvent", { type, touchPoints: points });
  }

  /** Presses a thing where it lies uppermost. */
  async press(selector) {
    await this.page.evaluate(() => document.getElementById("ground").scrollIntoView());
    await this.tap(await seen(this.page, await uppermost(this.page, selector)));
  }

  async tap(at) {
    if (!this.touch) return this.page.mouse.click(...at);
    await this.#send("touchStart", at);
    await this.#send("touchEnd", at);
  }

  /** Drags along places of the sheet, and waits at the end until it is told what comes of it. */
  async drag(places) {
    await this.page.evaluate(() => document.getElementById("ground").scrollIntoView());
    const way = [];
    for (const place of places) way.push(await seen(this.page, place));
    const [first, ...rest] = way;
    if (this.touch) await this.#send("touchStart", first);
    else {
      await this.page.mouse.move(...first);
      await this.page.mouse.down();
    }
    let last = first;
    for (const to of rest) {
      for (let k = 1; k <= 6; k += 1) {
        const at = [0, 1].map((i) => last[i] + ((to[i] - last[i]) * k) / 6);
        if (this.touch) await this.#send("touchMove", at);
        else await this.page.mouse.move(...at);
      }
      last = to;
    }
    await this.page.waitForSelector("#trial .piece", { state: "attached" });
    await this.page.waitForFunction(() => !document.getElementById("let-go").disabled);
    if (this.touch) await this.#send("touchEnd", last);
    else await this.page.mouse.up();
  }

  /** Brings a part of the sheet nearer, or farther off. */
  async near(place, times) {
    const [x, y] = await seen(this.page, place);
    if (!this.touch) {
      await this.page.mouse.move(x, y);
      await this.page.mouse.wheel(0, -400 * Math.log(times));
      return;
    }
    const pinch = (type, apart) =>
      this.touch.send("Input.dispatchTouchEvent", { type, touchPoints: [{ x, y, id: 0 }, { x: x - apart, y, id: 1 }] });
    await this.touch.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [{ x, y, id: 0 }] });
    await pinch("touchStart", 40);
    for (let k = 1; k <= 8; k += 1) await pinch("touchMove", 40 * times ** (k / 8));
    await this.touch.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
  }
}

/** The way that hands take that see and point. */
async function byPointer(page, pointer) {
  const form = async (selector, says, fields, number) => {
    if (selector) await pointer.press(selector);
    else {
      // What a kept step changes of the sentences above is there before the finger aims.
      await page.waitForLoadState("networkidle");
      await press(page, page.locator("#more-steps"));
    }
    await choose(page, says);
    await keepForm(page, fields, number);
  };
  await form(thing({ edge: "back.side" }), "allowance", { edges: "back.side, front.side", allowance: "7mm" }, 1);

  const [x, y] = await middle(page, "back.side");
  const [centre] = await middle(page, "back.centre");
  await pointer.drag([[x, y], [centre + 180, y]]);
  await steps(page, 2);

  await form(null, "allowance", { edges: "*.armhole, *.armhole-2, sleeve.cap", allowance: "7mm" }, 3);
  await form(thing({ edge: "back.side" }), "selvedge", { selvedge: "yes" }, 4);
  await form(thing({ edge: "front.armhole" }), "equal length", { smooth: "front.armhole" }, 5);

  const cut = async (piece, places, number) => {
    await pointer.press(thing({ piece }));
    await press(page, page.locator("#ways input[value=cut]"));
    await page.waitForSelector("#trial .piece", { state: "attached" });
    await pointer.drag(places);
    await steps(page, number);
  };
  const bust = await bustPoint(page);
  await cut("front", [await onEdge(page, "front.shoulder", 0.5), bust, await onEdge(page, "front.hem", 0.53)], 6);
  await form(null, "allowance", { edges: "*.princess", allowance: "15mm" }, 7);
  const along = async (line, number) => {
    const piece = await withMark(page, line);
    await cut(piece, await endsOf(page, `${line} of ${piece}`), number);
  };
  await along("fore-line", 8);
  await along("hind-line", 9);

  const fore = await withEdge(page, "underarm-front");
  const hind = await withEdge(page, "underarm-back");
  const [from, to] = [await middle(page, `${fore}.underarm-front`), await middle(page, `${hind}.underarm-back`)];
  await pointer.near(from, 1.5);
  if (pointer.touch) {
    // So far off a finger does not tell a strip from its edges: the seam is pushed together where it is held.
    await pointer.press(thing({ edge: `${fore}.underarm-front` }));
    await press(page, page.locator("#ways input[value=joined]"));
    await page.waitForSelector("#trial .piece", { state: "attached" });
    await press(page, page.locator("#let-go"));
  } else {
    await pointer.press(thing({ piece: fore }));
    const inside = await uppermost(page, thing({ piece: fore }));
    await pointer.drag([inside, [inside[0] + to[0] - from[0], inside[1] + to[1] - from[1]]]);
  }
  await steps(page, 10);
  await pointer.near(to, 1 / 1.5);
  await form(thing({ piece: "collar" }), "grainline", { to: "crosswise" }, 11);
}

/** Tab, until what is asked for has the focus. */
async function tabTo(page, selector) {
  const most = 2000;
  for (let k = 0; k < most; k += 1) {
    if (await page.evaluate((selector) => document.activeElement?.matches(selector), selector)) return;
    await page.keyboard.press("Tab");
  }
  throw new Error(`no key leads to ${selector}`);
}

/** Arrow keys, so far in mm. */
async function move(page, [x, y]) {
  for (const [by, back, on] of [[x, "ArrowLeft", "ArrowRight"], [y, "ArrowUp", "ArrowDown"]]) {
    const key = by < 0 ? back : on;
    const [far, fine] = [Math.floor(Math.abs(by) / 5), Math.round(Math.abs(by) % 5)];
    for (let k = 0; k < far; k += 1) await page.keyboard.press(key);
    for (let k = 0; k < fine; k += 1) await page.keyboard.press(`Shift+${key}`);
  }
}

/** The way that takes no pointer at all. */
async function byKeys(page) {
  const kept = async (number) => {
    await page.waitForFunction(() => !document.getElementById("let-go").disabled);
    await page.keyboard.press("Enter");
    await steps(page, number);
  };
  const offered = async (says) => {
    const index = await page.waitForFunction((says) => {
      const offers = [...document.querySelectorAll("#offers button")];
      const found = offers.findIndex((offer) => offer.textContent.includes(says));
      return document.getElementById("offers").hidden || found < 0 ? null : found + 1;
    }, says);
    const nth = await index.jsonValue();
    const isOwn = await page.evaluate((nth) => document.querySelectorAll("#own-offers button").length >= nth, nth);
    if (!isOwn && !(await page.evaluate(() => document.getElementById("more-offers").open))) {
      await tabTo(page, "#more-offers > summary");
      await page.keyboard.press("Enter");
    }
    await page.evaluate((nth) => [...document.querySelectorAll("#offers button")][nth - 1].setAttribute("data-asked", ""), nth);
    await tabTo(page, "[data-asked]");
    await page.keyboard.press("Enter");
    await page.waitForSelector("#form:not([hidden])");
  };
  const fill = async (fields, number) => {
    for (const [name, value] of Object.entries(fields)) {
      const isFolded = await page.evaluate((name) => !document.getElementById("more").open && document.getElementById("other").contains(document.getElementById(`field-${name}`)), name);
      if (isFolded) {
        await tabTo(page, "#more > summary");
        await page.keyboard.press("Enter");
      }
      await tabTo(page, `#field-${name}`);
      if (await page.evaluate(() => document.activeElement instanceof HTMLSelectElement)) await page.keyboard.type(value);
      else {
        await page.keyboard.press("Control+A");
        await page.keyboard.type(value);
      }
    }
    await page.waitForFunction(() => !document.getElementById("let-go").disabled);
    await tabTo(page, "#let-go");
    await kept(number);
  };
  const form = async (selector, says, fields, number) => {
    await tabTo(page, selector);
    await page.keyboard.press("Enter");
    await offered(says);
    await fill(fields, number);
  };
  await form(thing({ edge: "back.side" }), "allowance", { edges: "back.side, front.side", allowance: "7mm" }, 1);

  const [x] = await middle(page, "back.side");
  const [centre] = await middle(page, "back.centre");
  await tabTo(page, thing({ edge: "back.side" }));
  await page.keyboard.press("Enter");
  await move(page, [centre + 180 - x, 0]);
  await page.waitForFunction(() => document.getElementById("told").textContent.includes("It holds here"));
  await kept(2);

  await form("#more-steps", "allowance", { edges: "*.armhole, *.armhole-2, sleeve.cap", allowance: "7mm" }, 3);
  await form(thing({ edge: "back.side" }), "selvedge", { selvedge: "yes" }, 4);
  await form(thing({ edge: "front.armhole" }), "equal length", { smooth: "front.armhole" }, 5);

  const bust = await bustPoint(page);
  const ends = [await onEdge(page, "front.shoulder", 0.5), bust, await onEdge(page, "front.hem", 0.53)];
  await tabTo(page, thing({ piece: "front" }));
  await page.keyboard.press("Enter");
  await tabTo(page, "#ways input");
  await page.keyboard.press("ArrowDown");
  await page.waitForSelector("[data-place=between]", { state: "attached" });
  for (const [i, name] of [[0, "from"], [2, "at"], [1, "between"]]) {
    await tabTo(page, `[data-place=${name}]`);
    const at = await page.evaluate(() => document.activeElement.getAttribute("d").match(/-?[\d.]+/g).map(Number));
    await move(page, [ends[i][0] - at[0], ends[i][1] - at[1]]);
  }
  await page.waitForFunction(() => document.getElementById("note-says").textContent.includes("bust-point"));
  await kept(6);
  await form("#more-steps", "allowance", { edges: "*.princess", allowance: "15mm" }, 7);
  for (const [line, number] of [["fore-line", 8], ["hind-line", 9]]) {
    await form(`.mark[data-called^="${line} of "]`, "Cut a piece in two", {}, number);
  }
  const fore = await withEdge(page, "underarm-front");
  await tabTo(page, thing({ edge: `${fore}.underarm-front` }));
  await page.keyboard.press("Enter");
  await tabTo(page, "#ways input");
  for (let k = 0; k < 2; k += 1) await page.keyboard.press("ArrowDown");
  await page.waitForSelector("#trial .piece", { state: "attached" });
  await page.waitForFunction(() => !document.getElementById("let-go").disabled);
  await tabTo(page, "#let-go");
  await kept(10);

  await tabTo(page, '[data-grip=\'{"grain":"collar"}\']');
  await page.keyboard.press("Enter");
  await move(page, [60, 0]);
  const says = () => page.locator("#note-says").textContent();
  for (let k = 0; k < 60 && !(await says()).includes("Crosswise"); k += 1) {
    await Promise.all([page.waitForResponse((answer) => answer.url().endsWith("/try")), page.keyboard.press("ArrowUp")]);
  }
  await kept(11);
}

await withBrowser(async (browser, lay) => {
  const shipped = await lay("--recipe", "examples/narrow-coat.toml", ...CLOTH);
  const expected = await told(await open(browser, shipped.address, { viewport: { width: 1280, height: 900 } }));
  holds(expected.verdicts.every((mood) => mood === "good"), `the shipped recipe is good: ${expected.verdicts}`);
  const only = process.env.ONLY ?? "mouse keys touch";
  const ways = [
    ["mouse", { viewport: { width: 1400, height: 900 } }, (page) => byPointer(page, new Pointer(page, null))],
    ["keys", { viewport: { width: 1280, height: 900 } }, byKeys],
    [
      "touch",
      { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
      async (page) => byPointer(page, new Pointer(page, await page.context().newCDPSession(page))),
    ],
  ];
  for (const [name, options, make] of ways.filter(([name]) => only.includes(name))) {
    const begun = performance.now();
    const laid = await lay("fixtures/coat.svg", ...CLOTH);
    const page = await open(browser, laid.address, options);
    page.setDefaultTimeout(8000);
    try {
      await make(page);
      const now = await told(page);
      holds(JSON.stringify(now) === JSON.stringify(expected), `by ${name}: ${JSON.stringify(now)}, not ${JSON.stringify(expected)}`);
    } catch (error) {
      holds(false, `by ${name}: ${error.stack ?? error}`);
      holds(false, `by ${name}, at the last: ${await page.locator("#hand").innerText()}\n${laid.recipe()}`);
    }
    await picture(page, `narrow-coat-by-${name}`);
    console.log(`by ${name}: ${((performance.now() - begun) / 1000).toFixed(0)} s`);
    await page.close();
  }
});
