// Prints pages of HTML on A4 and on Letter, each to PAGE-a4.pdf and PAGE-letter.pdf beside it.
//
//     node tests/browser/print.mjs PAGE.html…

import { writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

import { withBrowser } from "./driver.mjs";

/** Papers, inches wide and high. */
const PAPERS = { a4: [210 / 25.4, 297 / 25.4], letter: [8.5, 11] };

const pages = process.argv.slice(2);
if (pages.length === 0) {
  console.error("say: node print.mjs PAGE.html…");
  process.exit(2);
}
await withBrowser(async (browser) => {
  for (const page of pages) {
    await browser.open(pathToFileURL(resolve(page)).href);
    for (const [paper, size] of Object.entries(PAPERS)) {
      writeFileSync(page.replace(/\.html$/, `-${paper}.pdf`), await browser.printed(size));
    }
  }
});
