// How fast the table answers: a drag of the coat's side seam at 60 events a second, of the plain coat and of the coat with
// linings; and the memory of the program after many trials.
//
//     npm install --prefix FOLDER playwright-core
//     node tests/table/speed.mjs FOLDER target/release/retrue
//
// CHROMIUM names the browser where it is not /usr/bin/chromium; TRIALS how many there are for the memory (10,000).

import { readFileSync, readdirSync, statSync } from "node:fs";
import { join } from "node:path";

import { middle, seen as seenAt, withBrowser } from "./browser.mjs";

const SECONDS = 5;
const TRIALS = Number(process.env.TRIALS ?? 10_000);

const at = (sorted, share) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))]?.toFixed(1);
const told = (what, times) => {
  const sorted = [...times].sort((a, b) => a - b);
  console.log(`${what}: median ${at(sorted, 0.5)} ms, 90 % under ${at(sorted, 0.9)} ms, longest ${at(sorted, 1)} ms, of ${sorted.length}`);
};

/** What is laid out: the plain coat, and the one whose pieces have linings and facings sewn to the same edges. */
const COAT = ["fixtures/coat.svg"];
const LINED = ["--recipe", "examples/whole-coat.toml"];

/** Lays a table, and tells how long it took. */
async function laid(lay, what) {
  const begun = performance.now();
  const table = await lay(...what, "--cloth", "examples/cloth.toml");
  console.log(`${what.at(-1)}: the address after ${(performance.now() - begun).toFixed(0)} ms`);
  return table;
}

/** Asks of a table as its page does. */
function asked(address) {
  const { host, origin, searchParams } = new URL(address);
  const cookie = `retrue-${host.split(":")[1]}=${searchParams.get("key")}`;
  return (path, wish) => fetch(origin + path, { method: wish ? "POST" : "GET", headers: { cookie, origin }, body: wish && JSON.stringify(wish) });
}

/** In the page: from the moment a place of the hand is asked for to the frame in which it is seen. */
function watch() {
  const asked = [];
  globalThis.answers = [];
  globalThis.frames = [];
  const fetched = globalThis.fetch;
  globalThis.fetch = async (path, init) => {
    const begun = performance.now();
    const answer = await fetched(path, init);
    if (path === "/try") {
      globalThis.answers.push(performance.now() - begun);
      if (answer.status === 200) asked.push(begun);
    }
    return answer;
  };
  addEventListener("DOMContentLoaded", () => {
    new MutationObserver((changes) => {
      if (asked.length === 0 || !changes.some((change) => change.target.id === "trial")) return;
      const begun = asked.pop();
      asked.length = 0;
      requestAnimationFrame(() => setTimeout(() => globalThis.frames.push(performance.now() - begun)));
    }).observe(document.documentElement, { childList: true, subtree: true });
  });
}

/** What runs beside while the seam is dragged: nothing, a search for a layout, one for ways that fit. */
const BESIDE = {
  "": async () => {},
  ", a layout searched for beside": (ask) => ask("/lay/begin", { said: { seconds: "3600" } }),
  ", ways searched for beside": (ask) => ask("/plan/begin", { said: { recuts: "100000", iterations: "100000" } }),
};

await withBrowser(async (browser, lay) => {
  for (const [what, beside] of [COAT, LINED].flatMap((what) => Object.keys(BESIDE).map((beside) => [what, beside]))) {
    const { address } = await laid(lay, what);
    await BESIDE[beside](asked(address));
    const sheet = what.at(-1) + beside;
    const page = await browser.newPage({ viewport: { width: 1400, height: 900 } });
    await page.addInitScript(watch);
    await page.goto(address);
    await page.waitForSelector(".edge");
    const [x, y] = await seenAt(page, await middle(page, "back.side"));
    await page.mouse.move(x, y);
    await page.mouse.down();
    const begun = performance.now();
    for (let event = 0; event < SECONDS * 60; event += 1) {
      await page.mouse.move(x - 8 + 6 * Math.sin(event / 20), y);
      const due = begun + ((event + 1) * 1000) / 60;
      await new Promise((next) => setTimeout(next, Math.max(0, due - performance.now())));
    }
    const { answers, frames } = await page.evaluate(() => ({ answers: globalThis.answers, frames: globalThis.frames }));
    told(`${sheet}: answers`, answers);
    told(`${sheet}: frames after the hand`, frames);
    await page.keyboard.press("Escape");
    await page.mouse.up();
    await page.close();
  }
  const { address, server } = await laid(lay, COAT);
  const ask = asked(address);
  const seen = await (await ask("/seen")).json();
  const edges = seen.pieces.flatMap((piece) => piece.edges).filter((edge) => edge["sewn-to"].length > 0);
  let state = 1;
  const random = () => (state = (state * 48271) % 0x7fffffff) / 0x7fffffff;
  const times = [];
  for (let number = 1; number <= TRIALS; number += 1) {
    const edge = edges[Math.floor(random() * edges.length)];
    const place = [edge.middle[0] + 80 * (random() - 0.5), edge.middle[1] + 80 * (random() - 0.5)];
    const hand = { holds: { edge: edge.name }, from: edge.middle, at: place, way: random() < 0.5 ? "straight" : "as-it-ran", reach: 8 };
    const begun = performance.now();
    await (await ask("/try", { page: 1, number, wish: { hand } })).text();
    times.push(performance.now() - begun);
  }
  told(`any seam, anywhere`, times);
  const status = readFileSync(`/proc/${server.pid}/status`, "utf8");
  console.log(`memory after ${TRIALS} trials: ${(Number(/VmHWM:\s+(\d+)/.exec(status)?.[1]) / 1024).toFixed(0)} MB at most`);
  const page = readdirSync("src/table/page").reduce((sum, file) => sum + statSync(join("src/table/page", file)).size, 0);
  console.log(`the page: ${(page / 1024).toFixed(0)} KB`);
});
