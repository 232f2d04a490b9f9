// The cutting table: lays out what the server has, and passes on what the hand does.

import * as ask from "./ask.js";
import { lay } from "./ground.js";
import { changeStep, handOver, insertBefore, isEmpty, letGo } from "./hand.js";
import { byId, sayAll, sayError } from "./sentences.js";
import { listen } from "./touch.js";

/** How often the page looks whether the table has changed otherwise, ms. */
const LOOKED = 700;

/** @type {ask.Seen} */
let now;

/** What a press beside a step does. @type {import("./sentences.js").StepPresses} */
const presses = {
  turn: (number, leftOut) => doIt(() => ask.turn(now.revision, number, leftOut)),
  change: changeStep,
  insert: insertBefore,
};

/** @param {ask.Seen} seen */
function show(seen) {
  now = seen;
  sayAll(seen, presses);
  lay(seen);
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
  showAt: async (at) => lay(at === "end" ? now : await ask.lying(at)),
});
listen();
byId("undo").addEventListener("click", () => doIt(() => ask.change("/undo", now.revision)));
byId("again").addEventListener("click", () => doIt(() => ask.change("/again", now.revision)));
byId("aside").addEventListener("click", () => doIt(() => ask.change("/aside", now.revision)));

setInterval(async () => {
  if (document.hidden || !isEmpty()) return;
  try {
    const revision = await ask.revision();
    if (revision !== now.revision && isEmpty()) show(await ask.seen());
byId("to-drawing").hidden = !(await ask.isBroughtIn());
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
byId("to-drawing").hidden = !(await ask.isBroughtIn());
