// Holds pages that `retrue report` wrote against the rules of axe-core, light and dark, wide and narrow; prints each
// violation, and ends with 1 where there is one.
//
//     npm install --prefix FOLDER axe-core playwright-core
//     node tests/report/accessible.mjs FOLDER REPORT.html…
//
// CHROMIUM names the browser where it is not /usr/bin/chromium.

import { createRequire } from "node:module";
import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

// The least contrast of a text in a drawing to what is behind it, which axe-core leaves to be looked at.
function contrastInDrawings() {
  const parts = (colour) => colour.match(/[\d.]+/g).map(Number);
  const light = (colour) => {
    const [r, g, b] = parts(colour).map((part) => {
      const share = part / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const behind = (node) => {
    for (; node; node = node.parentElement) {
      const colour = getComputedStyle(node).backgroundColor;
      if (parts(colour)[3] !== 0) return colour;
    }
    return "rgb(255, 255, 255)";
  };
  const ratios = [...document.querySelectorAll("svg text")].map((text) => {
    const [a, b] = [light(getComputedStyle(text).fill), light(behind(text))];
    return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
  });
  return Math.min(...ratios);
}

/** What texts need by WCAG 2.2, success criterion 1.4.3. */
const CONTRAST = 4.5;

const [folder, ...pages] = process.argv.slice(2);
if (!folder || pages.length === 0) {
  console.error("say: node accessible.mjs FOLDER REPORT.html…");
  process.exit(2);
}
const from = createRequire(join(resolve(folder), "package.json"));
const { chromium } = from("playwright-core");
const axe = readFileSync(from.resolve("axe-core/axe.min.js"), "utf8");

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-quic"],
});
let wrong = 0;
for (const page of pages) {
  for (const colorScheme of ["light", "dark"]) {
    for (const width of [1280, 390]) {
      const tab = await browser.newPage({ colorScheme, viewport: { width, height: 900 } });
      await tab.goto(pathToFileURL(resolve(page)).href);
      await tab.evaluate(axe);
      const { violations, incomplete, passes } = await tab.evaluate(() => globalThis.axe.run());
      const beyond = await tab.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      const contrast = await tab.evaluate(contrastInDrawings);
      const told = [...violations, ...incomplete].map((rule) => `  ${rule.id} (${rule.nodes.length}): ${rule.help}`);
      console.log(
        `${page}, ${colorScheme}, ${width} px: ${violations.length} violations, ${incomplete.length} to look at, ` +
          `${passes.length} rules kept, ${Math.max(beyond, 0)} px beyond the screen, ` +
          `contrast in drawings ${contrast.toFixed(1)}`,
      );
      told.forEach((line) => console.log(line));
      for (const rule of violations) {
        rule.nodes.slice(0, 5).forEach((node) => console.log(`    ${node.html.slice(0, 160)}\n    ${node.failureSummary}`));
      }
      wrong += violations.length + (beyond > 0 ? 1 : 0) + (contrast < CONTRAST ? 1 : 0);
      await tab.close();
    }
  }
}
await browser.close();
process.exit(wrong === 0 ? 0 : 1);
