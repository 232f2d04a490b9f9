// The cutting table: lays out what the server has, and passes on what the hand does.

import * as ask from "./ask.js";
import * as cloth from "./cloth.js";
import { lay } from "./ground.js";
import { changeStep, goOn, handOver, insertBefore, isMeantAt, letGo } from "./hand.js";
import * as layout from "./lay.js";
import * as plan from "./plan.js";
import * as save from "./save.js";
import { byId, sayAll, sayError, why } from "./sentences.js";
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

/** How many changes of this page are under way: what comes of them it is told. */
let isChanging = 0;

/** Shows what was seen, and lays the table as it lies now, or as it lay where a step is meant. @param {ask.Seen} seen @param {ask.Lying} [lying] */
function show(seen, lying = seen) {
  now = seen;
  const copy = layout.focused();
  sayAll(seen, presses);
  lay(lying);
  cloth.draw();
  layout.draw(copy);
  cloth.look();
  layout.look();
  plan.look();
  save.look();
}

/** Has a change done. @param {() => Promise<ask.Seen>} what */
async function changed(what) {
  isChanging += 1;
  try {
    show(await what());
  } finally {
    isChanging -= 1;
  }
}

/** Does what was pressed, and shows what came of it, or why not. @param {() => Promise<ask.Seen>} what */
async function doIt(what) {
  letGo();
  try {
    await changed(what);
  } catch (error) {
    sayError(error);
  }
}

handOver({
  keep: (wish, at) => changed(() => ask.keep(now.revision, wish, at)),
  drop: () => sayAll(now, presses),
  showAt: async (at) => {
    lay(at === "end" ? now : await ask.lying(at));
    if (at === "end") layout.draw();
  },
  held: (thing) => {
    plan.offerTaste(thing);
    layout.offerMatch(thing);
    cloth.offerCloth(thing);
  },
});
listen();
byId("undo").addEventListener("click", () => doIt(() => ask.change("/undo", now.revision)));
byId("again").addEventListener("click", () => doIt(() => ask.change("/again", now.revision)));
byId("aside").addEventListener("click", () => doIt(() => ask.change("/aside", now.revision)));

/** Whether the steps before that at a place in the recipe are the same. @param {ask.At} at @param {ask.Seen} seen */
function isThere(at, seen) {
  if (at === "end") return true;
  const number = "before" in at ? at.before : at["in-place-of"];
  const until = (/** @type {ask.Seen} */ { steps }) => steps.slice(0, number).map((step) => [step.sentence, step["left-out"]]);
  return JSON.stringify(until(now)) === JSON.stringify(until(seen));
}

/** Shows the table as it is now, changed by whomever; what is in the hand is gone on with. */
async function seeAnew() {
  const seen = await ask.seen();
  const at = isMeantAt();
  const goesOn = isThere(at, seen);
  if (!goesOn) letGo();
  const lying = goesOn && at !== "end" ? await ask.lying(at) : seen;
  cloth.letGo();
  show(seen, lying);
  if (goOn() && goesOn) return;
  now.news = "The table was changed elsewhere: what was in the hand is not there any more.";
  sayAll(now, presses);
}

let isLooking = false;

/** Looks whether the table has changed otherwise. */
async function look() {
  if (document.hidden || isLooking || isChanging > 0) return;
  isLooking = true;
  try {
    const found = await ask.revision();
    if (found.revision !== now.revision && isChanging === 0) await seeAnew();
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
  } catch (error) {
    byId("news").dataset.lost = "yes";
    byId("news").textContent = why(error);
  }
  isLooking = false;
}
setInterval(look, LOOKED);
document.addEventListener("visibilitychange", look);

show(await ask.seen());
await cloth.begin({ show, revision: () => now.revision });
await save.begin();
await layout.begin({ seeAnew, revision: () => now.revision });
await plan.begin({ show, revision: () => now.revision });
byId("to-drawing").hidden = !(await ask.isBroughtIn());
