// Takes hold of the coat's side seam in a browser, by mouse and by keyboard; keeps it, takes it back and does it again;
// holds the page against axe-core light and dark, wide and narrow; ends with 1 where something is not as it should be.
//
//     npm install --prefix FOLDER playwright-core
//     node tests/table/by_hand.mjs FOLDER target/debug/retrue
//
// CHROMIUM names the browser where it is not /usr/bin/chromium; PICTURES a folder for what was seen.

import { axe, choose, holds, middle, onEdge, open, picture, seen, steps, thing, withBrowser } from "./browser.mjs";

await withBrowser(async (browser, lay) => {
  const { address, recipe } = await lay("fixtures/coat.svg", "--cloth", "examples/cloth.toml");
  const page = await open(browser, address, { viewport: { width: 1400, height: 900 } });
  await picture(page, "wide");
  const before = recipe();

  const [x, y] = await seen(page, await middle(page, "back.side"));
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
  holds((await said()).includes("201 mm"), `what is refused changes nothing above: ${await said()}`);
  await page.mouse.up();
  holds(recipe() === before, "what is refused is not kept");
  const waysOut = page.locator("#ways-out button");
  holds((await waysOut.first().innerText()).includes("set to 9 mm"), `the allowance that would do is the first way out: ${await waysOut.allInnerTexts()}`);
  await waysOut.filter({ hasNotText: "allowance" }).first().click();
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
  const offer = async (value, says) => {
    await page.focus(thing(value));
    await page.keyboard.press("Enter");
    await choose(page, says);
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
  await choose(page, "grainline");
  await page.selectOption("#field-piece", "sleeve");
  await page.fill("#field-to", "crosswise");
  await page.waitForSelector("#trial .piece");
  await picture(page, "inserted");
  await page.click("#let-go");
  await steps(page, 4);
  holds(recipe().indexOf("turn-grain") < recipe().indexOf("add-band"), "a step is put before another");

  // A line across the sleeve, by two places that are pressed.
  const pressAt = async (name) => page.mouse.click(...(await seen(page, await middle(page, name))));
  await offer({ piece: "sleeve" }, "Cut a piece in two");
  await page.focus("#field-line");
  await pressAt("sleeve.underarm-back");
  await page.waitForFunction(() => document.getElementById("field-line").value !== "");
  await pressAt("sleeve.underarm-front");
  await page.waitForFunction(() => document.getElementById("field-line").value.includes(" > "));
  await page.waitForSelector("#trial .piece");
  // One of its places is dragged along the outline before it is kept, and the recipe keeps another line.
  await page.waitForSelector(".place", { state: "attached" });
  const line = () => page.locator("#field-line").inputValue();
  const drawn = await line();
  const dragged = async ([from, to]) => {
    await page.mouse.move(...(await seen(page, from)));
    await page.mouse.down();
    await page.mouse.move(...(await seen(page, to)), { steps: 6 });
    await page.mouse.up();
  };
  await dragged([await middle(page, "sleeve.underarm-back"), await onEdge(page, "sleeve.underarm-back", 0.3)]);
  await page.waitForFunction((drawn) => document.getElementById("field-line").value !== drawn, drawn);
  holds((await line()).includes("underarm-front@50%"), `the other place stays: ${await line()}`);
  await page.waitForSelector("#trial .piece", { state: "attached" });
  await picture(page, "line");
  await page.click("#let-go");
  await steps(page, 5);
  holds(recipe().includes('do = "split"') && !recipe().includes(drawn), "the line that was dragged cuts the piece");

  // What a hand does with the thing itself.
  const hand = async (from, to, what) => {
    const before = await page.locator("#steps > li").count();
    await dragged([from, to]);
    await steps(page, before + 1);
    holds(recipe().split("[[step]]").at(-1).includes(what), `${what}: ${recipe().split("[[step]]").at(-1)}`);
  };
  const below = async (edge, by) => {
    const at = await middle(page, edge);
    return [at, [at[0], at[1] + by]];
  };
  await hand(...(await below("front.hem", 40)), "extend-edge");
  await page.click("#undo");
  await steps(page, 5);
  const fold = await middle(page, "collar.centre");
  await hand(fold, [fold[0] - 60, fold[1]], "unfold");

  // Two pages see the same within a second.
  const other = await open(browser, address, { viewport: { width: 900, height: 700 } });
  await steps(other, 6);
  const begun = performance.now();
  await page.click("#undo");
  await steps(other, 5);
  holds(performance.now() - begun < 1000, `the other page sees it after ${(performance.now() - begun).toFixed(0)} ms`);
  await other.close();

  for (const colorScheme of ["light", "dark"]) {
    for (const width of [1280, 390]) {
      const tab = await open(browser, address, { colorScheme, viewport: { width, height: 844 }, bypassCSP: true });
      await tab.evaluate(axe());
      await tab.focus(thing({ piece: "front" }));
      await tab.keyboard.press("Enter");
      await tab.waitForSelector("#ways:not([hidden])");
      const found = await tab.evaluate(() => globalThis.axe.run());
      for (const violation of found.violations) {
        holds(false, `${colorScheme}, ${width} px: ${violation.id}: ${violation.nodes[0]?.html}`);
      }
      await picture(tab, `${colorScheme}-${width}`);
      await tab.close();
    }
  }
});
