// The cutting table: lays out what the server has, and passes on what the hand does.

import * as ask from "./ask.js";
import * as cloth from "./cloth.js";
import { lay } from "./ground.js";
import { changeStep, handOver, insertBefore, isEmpty, letGo } from "./hand.js";
import * as layout from "./lay.js";
import * as plan from "./plan.js";
import * as save from "./save.js";
import { byId, sayAll, sayError } from "./sentences.js";
import { listen } from "./touch.js";

/** How often the page looks whether the table has changed otherwise, ms. */
const LOOKED = 700;

/** @type {ask.Seen} */
let now;

/** How often a file was written when that was looked at last. */
let files = 0;

/** What a press beside a step does. @type {import("./sentences.js").StepPresses} */
const presses = {
  turn: (number, leftOut) => doIt(() => ask.turn(now.revision, number, leftOut)),
  change: changeStep,
  insert: insertBefore,
};

/** @param {ask.Seen} seen */
function show(seen) {
  now = seen;
  const copy = layout.focused();
  sayAll(seen, presses);
  lay(seen);
  cloth.draw();
  layout.draw(copy);
  cloth.look();
  layout.look();
  plan.look();
  save.look();
}

/** Does what was pressed, and shows what came of it, or why not. @param {() => Promise<ask.Seen>} what */
async function doIt(what) {
  letGo();
  try {
    show(await what());
  } catch (error) {
    sayError(error);
  }
}

handOver({
  keep: async (wish, at) => show(await ask.keep(now.revision, wish, at)),
  drop: () => sayAll(now, presses),
  showAt: async (at) => {
    lay(at === "end" ? now : await ask.lying(at));
    if (at === "end") layout.draw();
  },
  held: (thing) => {
    plan.offerTaste(thing);
    layout.offerMatch(thing);
  },
});
listen();
byId("undo").addEventListener("click", () => doIt(() => ask.change("/undo", now.revision)));
byId("again").addEventListener("click", () => doIt(() => ask.change("/again", now.revision)));
byId("aside").addEventListener("click", () => doIt(() => ask.change("/aside", now.revision)));

/** Whether nothing is in the hand. */
const isFree = () => isEmpty() && layout.isEmpty() && cloth.isEmpty();

/** Shows the table as it is now, unless something was taken into the hand meanwhile. */
async function seeAnew() {
  const seen = await ask.seen();
  if (isFree()) show(seen);
}

setInterval(async () => {
  if (document.hidden || !isFree()) return;
  try {
    const found = await ask.revision();
    if (found.revision !== now.revision) await seeAnew();
    const isNew = found.files !== files;
    files = found.files;
    if (found["is-busy"] || isNew) {
      layout.look();
      plan.look();
    }
    if (isNew) save.look();
    if (byId("news").dataset.lost) {
      delete byId("news").dataset.lost;
      byId("news").textContent = now.news ?? "";
    }
  } catch {
    byId("news").dataset.lost = "yes";
    byId("news").textContent = "The table does not answer. What was kept is kept: start retrue table again and open its new address.";
  }
}, LOOKED);

show(await ask.seen());
await save.begin();
await layout.begin({ seeAnew, revision: () => now.revision });
await plan.begin({ show, revision: () => now.revision });
await cloth.begin({ show, revision: () => now.revision });
byId("to-drawing").hidden = !(await ask.isBroughtIn());
