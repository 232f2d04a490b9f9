// The cloth set by hand in a browser: its edge dragged and moved by keys, a flaw drawn, moved and taken away, numbers written, a
// photograph's corner dragged, and one more laid on the cloth; each is written to the cloth file of the folder, whose own reader
// judges it.
//
//     npm install --prefix FOLDER playwright-core
//     node tests/table/cloth.mjs FOLDER target/debug/retrue
//
// CHROMIUM names the browser where it is not /usr/bin/chromium; PICTURES a folder for what was seen.

import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

import { axe, holds, open, picture, withBrowser } from "./browser.mjs";

/** A cloth file with remarks, elsewhere than the table. */
const WRITTEN = '# My wool.\n[main]\nwidth = "57cm"   # measured twice\nlength = "2.4m"\n';

await withBrowser(async (browser, lay) => {
  const elsewhere = mkdtempSync(join(tmpdir(), "cloth-"));
  const file = join(elsewhere, "wool.toml");
  writeFileSync(file, WRITTEN);
  const { address, place } = await lay("fixtures/coat.svg", "--cloth", file);
  const own = () => readFileSync(join(place, "cloth.toml"), "utf8");
  const page = await open(browser, address, { viewport: { width: 1280, height: 900 } });
  page.setDefaultTimeout(15_000);
  const kept = (part) => page.waitForResponse((answer) => answer.url().includes(`/cloth/${part}`));
  await page.waitForSelector("#cloth-main-width");
  holds((await page.locator("#cloths").innerText()).includes("stays as it is"), "it is said that the file elsewhere is not written");
  holds(!existsSync(join(place, "cloth.toml")), "nothing is written before something is set");

  // The right edge, dragged; then by keys.
  const edge = page.locator(".cloth-edge").first();
  await edge.waitFor({ state: "attached" });
  await page.waitForLoadState("networkidle");
  const box = await edge.boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + 60);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2 - 30, box.y + 60, { steps: 5 });
  await picture(page, "cloth-edge");
  const dragged = kept("hand");
  await page.mouse.up();
  await dragged;
  const width = () => Number(/width = "(\d+)mm"/.exec(own())?.[1]);
  await page.waitForFunction(() => !document.getElementById("cloth-main-width").value.startsWith("57"));
  holds(width() < 560 && own().includes("# measured twice") && own().includes("# My wool."), `the edge is dragged: ${own()}`);
  holds(readFileSync(file, "utf8") === WRITTEN, "the file elsewhere stays as it was");
  const before = width();
  await page.locator(".cloth-edge").first().focus();
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Shift+ArrowRight");
  const pressed = kept("hand");
  await page.keyboard.press("Enter");
  await pressed;
  holds(width() === before + 11, `the edge is moved by keys: ${before} to ${width()}`);

  // A flaw, drawn, moved by keys, and taken away.
  await page.click("text=Draw a flaw");
  const strip = await page.locator(".cloth-edge").first().boundingBox();
  await page.mouse.move(strip.x - 60, strip.y + 200);
  await page.mouse.down();
  await page.mouse.move(strip.x - 30, strip.y + 230, { steps: 5 });
  await picture(page, "cloth-flaw-drawn");
  const drawn = kept("hand");
  await page.mouse.up();
  await drawn;
  await page.waitForSelector(".cloth-flaw[data-flaw]");
  holds(own().includes("flaws = ["), `the flaw is written: ${own()}`);
  const was = own();
  await page.locator(".cloth-flaw[data-flaw]").focus();
  await page.keyboard.press("ArrowDown");
  const moved = kept("hand");
  await page.keyboard.press("Enter");
  await moved;
  holds(own() !== was, "the flaw is moved");
  await page.waitForSelector(".cloth-flaw[data-flaw]");
  await picture(page, "cloth-flaw");
  const taken = kept("hand");
  await page.click("text=Take it away");
  await taken;
  await page.waitForFunction(() => !document.getElementById("cloths").textContent.includes("A flaw"));
  holds(!own().includes("flaws"), `the flaw is taken away: ${own()}`);

  // Numbers, and what the reader refuses.
  await page.fill("#cloth-main-length", "3m, 2.2m");
  const said = kept("say");
  await page.keyboard.press("Tab");
  await said;
  holds(own().includes('length = ["3m", "2.2m"]'), `the lengths are written: ${own()}`);
  await page.waitForFunction(() => document.querySelectorAll(".cloth-edge").length === 4);
  const right = own();
  await page.fill("#cloth-main-width", "wide");
  await page.keyboard.press("Tab");
  await page.waitForFunction(() => document.getElementById("cloth-says").textContent !== "");
  holds(own() === right, "what is no width is not written");
  await picture(page, "cloth-refused");

  // The corner of a photograph, by mouse and by keys.
  const shown = await lay("fixtures/coat.svg", "--cloth", "examples/gradation.toml");
  const tab = await open(browser, shown.address, { viewport: { width: 1280, height: 900 } });
  const corner = () => tab.locator(".photograph .place").first();
  await corner().waitFor({ state: "attached" });
  await corner().scrollIntoViewIfNeeded();
  const at = await corner().boundingBox();
  const written = () => readFileSync(join(shown.place, "cloth.toml"), "utf8");
  await tab.mouse.move(at.x + at.width / 2, at.y + at.height / 2);
  await tab.mouse.down();
  await tab.mouse.move(at.x + at.width / 2 + 4, at.y + at.height / 2 + 1, { steps: 4 });
  await picture(tab, "cloth-photograph");
  await Promise.all([tab.waitForResponse((answer) => answer.url().endsWith("/cloth/hand")), tab.mouse.up()]);
  const first = () => /gradation-1\.jpg".*corners = \[\[(\d+)[.\d]*, (\d+)/.exec(written())?.slice(1).map(Number);
  const [x, y] = first() ?? [];
  holds(x > 30 && written().includes("# What is not seen."), `the corner is written: ${written()}`);
  await tab.waitForFunction((x) => document.querySelector(".photograph .place").getAttribute("d").startsWith(`M${x}`), x);
  await corner().focus();
  await tab.keyboard.press("Shift+ArrowRight");
  await Promise.all([tab.waitForResponse((answer) => answer.url().endsWith("/cloth/hand")), tab.keyboard.press("Enter")]);
  holds(first()?.[0] === x + 1 && first()?.[1] === y, `the corner is moved by keys: ${written()}`);
  await tab.close();

  // A photograph more: chosen, its corners set, its stretch written; then turned, and taken away. One that is none is refused.
  const photographed = await lay("fixtures/coat.svg", "--cloth", "37cm x 11.4m");
  const shot = await open(browser, photographed.address, { viewport: { width: 1280, height: 900 } });
  shot.setDefaultTimeout(15_000);
  const says = () => readFileSync(join(photographed.place, "cloth.toml"), "utf8");
  const drop = (name, bytes) =>
    shot.evaluate(([name, bytes]) => {
      const carried = new DataTransfer();
      carried.items.add(new File([Uint8Array.from(bytes)], name));
      document.getElementById("sheet").dispatchEvent(new DragEvent("drop", { dataTransfer: carried, bubbles: true, cancelable: true }));
    }, [name, [...bytes]]);
  await shot.waitForSelector("#cloth-photograph-main");
  await drop("notes.txt", Buffer.from("no picture"));
  await shot.waitForFunction(() => document.getElementById("cloth-says").textContent.includes("notes.txt cannot be read"));
  await drop("bolt.jpg", readFileSync("examples/gradation-1.jpg"));
  await shot.waitForSelector("dialog[open] canvas");
  for (const [i, corner] of [[30, 238], [34, 39], [1570, 41], [1562, 240]].entries()) {
    const [from, to] = await shot.evaluate(([i, [x, y]]) => {
      const over = document.querySelector("dialog .corners");
      const seen = (place) => {
        const { x, y } = place.matrixTransform(over.getScreenCTM());
        return [x, y];
      };
      return [seen(over.querySelectorAll(".place")[i].getPointAtLength(0)), seen(new DOMPoint(x, y))];
    }, [i, corner]);
    await shot.mouse.move(...from);
    await shot.mouse.down();
    await shot.mouse.move(...to, { steps: 3 });
    await shot.mouse.up();
  }
  await picture(shot, "cloth-photograph-new");
  await shot.fill("#photograph-to", "far");
  await shot.click("#photograph-keep");
  await shot.waitForFunction(() => document.querySelector("dialog .bad").textContent !== "");
  holds(!existsSync(join(photographed.place, "photograph-1.jpg")), "what is refused leaves no file");
  await shot.fill("#photograph-to", "2.85m");
  await shot.click("#photograph-keep");
  await shot.waitForSelector("#cloth-photograph-main-0-large");
  holds(/file = "photograph-1.jpg", from = "0mm", to = "2850mm", corners = \[\[30/.test(says()), `the photograph is written: ${says()}`);
  holds(readFileSync(join(photographed.place, "photograph-1.jpg")).equals(readFileSync("examples/gradation-1.jpg")), "its file is kept as it is");
  await shot.click("#cloth-photograph-main-0-large");
  await shot.click("#photograph-turn");
  await shot.waitForFunction(() => document.querySelector("dialog .place")?.getAttribute("d").startsWith("M1570"));
  await shot.keyboard.press("Escape");
  await shot.fill("#cloth-photograph-main-0-to", "2.8m");
  await Promise.all([shot.waitForResponse((answer) => answer.url().endsWith("/cloth/hand")), shot.keyboard.press("Tab")]);
  holds(says().includes('to = "2800mm"'), `its stretch is written: ${says()}`);
  await shot.click("#cloth-photograph-main-0-away");
  await shot.waitForFunction(() => document.querySelector(".photograph") === null);
  holds(!says().includes("pictures"), `it is taken away: ${says()}`);
  await shot.close();

  // A garment that was taken apart, cloth beside it, and uneven stripes on that: begun where nothing is said of cloth.
  const bare = await lay("fixtures/coat.svg");
  const begun = await open(browser, bare.address, { viewport: { width: 1280, height: 900 } });
  begun.setDefaultTimeout(15_000);
  const stands = () => readFileSync(join(bare.place, "cloth.toml"), "utf8");
  const fill = async (summary, fields, button) => {
    await begun.click(`summary:has-text("${summary}")`);
    for (const [name, value] of Object.entries(fields)) await begun.fill(`details[open] [name="${name}"]`, value);
    await begun.click(`details[open] button:has-text("${button}")`);
  };
  await begun.waitForSelector("#cloth-new-size");
  await fill("Panels of a garment", { cloth: "main", copies: "6", length: "70cm", top: "12cm", bottom: "34cm" }, "Lay them out");
  await begun.waitForFunction(() => document.querySelectorAll('#sheet > [role="img"]').length === 6);
  holds(stands().includes('outline = "panel-1.svg#panel"') && existsSync(join(bare.place, "panel-1.svg")), `the panels are written: ${stands()}`);
  for (const many of ["5", "6"]) {
    await begun.fill("#cloth-panels-0", many);
    await begun.keyboard.press("Tab");
    await begun.waitForFunction((many) => document.querySelectorAll('#sheet > [role="img"]').length === Number(many), many);
    holds(stands().includes(`copies = ${many}`), `there are ${many} panels: ${stands()}`);
  }
  await fill("Another cloth", { name: "companion", size: "110cm x 1.5m" }, "Lay it out");
  await begun.waitForSelector("#cloth-companion-width");
  holds((await begun.locator('#sheet > [role="img"]').count()) === 7, "a second cloth lies beside");
  await begun.click('summary:has-text("All that is said of companion")');
  await begun.fill("#cloth-companion-stripes", "12cm teal, 61cm rust, 1.02m teal");
  await Promise.all([begun.waitForResponse((answer) => answer.url().endsWith("/cloth/say")), begun.keyboard.press("Tab")]);
  holds(stands().includes('["610mm", "rust"]'), `uneven stripes are written: ${stands()}`);
  holds(await begun.evaluate(() => document.getElementById("cloth-all-companion").open && document.activeElement.id.startsWith("cloth-companion-")), "what is unfolded stays so, and the keyboard goes on from where it was");
  await begun.evaluate(() => document.activeElement.blur());
  await begun.locator("body").press("0");
  const left = await begun.evaluate(() => Math.min(...[...document.querySelectorAll('#sheet > [role="img"]')].map((cloth) => cloth.getBoundingClientRect().left)));
  holds(left >= 0, `0 shows all of the cloth, also without a press on the table before: ${left}`);
  await picture(begun, "cloth-panels");
  await begun.close();

  for (const colorScheme of ["light", "dark"]) {
    const narrow = await open(browser, address, { colorScheme, viewport: { width: 390, height: 844 }, bypassCSP: true });
    await narrow.waitForSelector("#cloth-main-width");
    await narrow.evaluate(axe());
    const found = await narrow.evaluate(() => globalThis.axe.run());
    const [chosen] = await Promise.all([narrow.waitForEvent("filechooser"), narrow.click("#cloth-photograph-main")]);
    await chosen.setFiles("examples/gradation-1.jpg");
    await narrow.waitForSelector("dialog[open] canvas");
    await picture(narrow, `cloth-photograph-${colorScheme}-390`);
    const large = await narrow.evaluate(() => globalThis.axe.run());
    for (const violation of [...found.violations, ...large.violations]) holds(false, `${colorScheme}: ${violation.id}: ${violation.nodes[0]?.html}`);
    await narrow.keyboard.press("Escape");
    await narrow.locator("#cloth").scrollIntoViewIfNeeded();
    await picture(narrow, `cloth-${colorScheme}-390`);
    await narrow.close();
  }
  rmSync(elsewhere, { recursive: true });
});
