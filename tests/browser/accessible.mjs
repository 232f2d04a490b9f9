// Holds pages of HTML against the rules of axe-core in a browser, light and dark, on a phone and up to a wide screen; prints
// each violation, and ends with 1 where there is one.
//
//     apt-get install chromium chromium-driver nodejs
//     node tests/browser/accessible.mjs PAGE.html…
//
// PICTURES names a folder for what was seen.

import { writeFileSync } from "node:fs";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

import { AXE, withBrowser } from "./driver.mjs";

/** The screens, px wide. */
const WIDTHS = [390, 768, 1280, 2560];

/** What texts need by WCAG 2.2, success criterion 1.4.3. */
const CONTRAST = 4.5;

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
  return ratios.length > 0 ? Math.min(...ratios) : 21;
}

/** What axe-core finds, in short: all that a page holds would be too much to hand over. */
function found() {
  const short = (rule) => ({
    id: rule.id,
    help: rule.help,
    count: rule.nodes.length,
    nodes: rule.nodes.slice(0, 5).map((node) => `${node.html.slice(0, 160)}\n    ${node.failureSummary}`),
  });
  return globalThis.axe.run().then(({ violations, incomplete, passes }) => ({
    violations: violations.map(short),
    incomplete: incomplete.map(short),
    kept: passes.length,
  }));
}

/** How many things are wrong with a page as it is seen. */
async function wrongWith(browser, page, width, scheme) {
  await browser.seenAs({ width, height: 900, scheme });
  await browser.open(pathToFileURL(resolve(page)).href);
  await browser.run(AXE);
  const { violations, incomplete, kept } = await browser.told(found);
  const beyond = await browser.told(() => Math.max(document.documentElement.scrollWidth - innerWidth, 0));
  const contrast = await browser.told(contrastInDrawings);
  console.log(
    `${page}, ${scheme}, ${width} px: ${violations.length} violations, ${incomplete.length} to look at, ${kept} rules kept, ` +
      `${beyond} px beyond the screen, contrast in drawings ${contrast.toFixed(1)}`,
  );
  for (const rule of incomplete) console.log(`  to look at: ${rule.id} (${rule.count}): ${rule.help}`);
  for (const rule of violations) {
    console.log(`  ${rule.id} (${rule.count}): ${rule.help}`);
    rule.nodes.forEach((node) => console.log(`    ${node}`));
  }
  if (process.env.PICTURES) {
    const name = `${basename(page, ".html")}-${width}-${scheme}.png`;
    writeFileSync(join(process.env.PICTURES, name), await browser.picture());
  }
  return violations.length + Number(beyond > 0) + Number(contrast < CONTRAST);
}

const pages = process.argv.slice(2);
if (pages.length === 0) {
  console.error("say: node accessible.mjs PAGE.html…");
  process.exit(2);
}
const wrong = await withBrowser(async (browser) => {
  let wrong = 0;
  for (const page of pages) {
    for (const scheme of ["light", "dark"]) {
      for (const width of WIDTHS) wrong += await wrongWith(browser, page, width, scheme);
    }
  }
  return wrong;
});
process.exit(wrong === 0 ? 0 : 1);
