// What is still missing, as a list that shortens; and the sizes to be chosen from, as small pictures.

import { button, byId } from "./words.js";

/** @typedef {import("./words.js").BringSeen} BringSeen */

const SVG = "http://www.w3.org/2000/svg";
/** How many pixels a dash of a millimetre is in a small picture. */
const DASHED = 1.1;

/** @param {BringSeen} seen @param {(choice: string) => void} take */
export function saySizes(seen, take) {
  const [x, y, width, height] = seen.bounds;
  const made = seen.sizes.map((size) => {
    const entry = document.createElement("li");
    const choice = Object.assign(button("", () => take(size.choice)), { className: "size" });
    const picture = document.createElementNS(SVG, "svg");
    picture.setAttribute("viewBox", `${x} ${y} ${width} ${height}`);
    picture.setAttribute("aria-hidden", "true");
    const line = document.createElementNS(SVG, "path");
    line.setAttribute("d", size.line);
    if (size.dashes.length > 0) line.setAttribute("stroke-dasharray", size.dashes.map((dash) => dash * DASHED).join(" "));
    // Black is what the page writes with; a colour tells a size.
    if (["", "none", "#000000"].includes(size.colour)) line.setAttribute("class", "plain");
    else line.setAttribute("stroke", size.colour);
    picture.append(line);
    choice.append(picture, Object.assign(document.createElement("span"), { textContent: size.says }));
    entry.append(choice);
    return entry;
  });
  byId("size-choices").replaceChildren(...made);
}

/** @typedef {{ keep: (edit: object) => Promise<boolean>, look: (thing: import("./words.js").Thing) => Promise<void> }} Does */

/** What is missing, with its answers. @param {import("./words.js").Missing} missing @param {Does} does */
function item(missing, does) {
  const made = document.createElement("li");
  made.classList.toggle("wrong", missing.wrong);
  made.classList.toggle("unsure", missing.unsure);
  made.append(Object.assign(document.createElement("p"), { textContent: missing.sentence }));
  made.append(...missing.answers.map((answer) => button(answer.says, () => does.keep(answer.edit))));
  const [thing] = missing.things;
  if (thing === undefined || thing === "drawing") return made;
  const look = button("Look at it", () => does.look(thing));
  for (const [event, on] of /** @type {[string, boolean][]} */ ([["mouseenter", true], ["mouseleave", false], ["focus", true], ["blur", false]])) {
    look.addEventListener(event, () => light(missing.things, on));
  }
  made.append(look);
  return made;
}

/** @param {BringSeen} seen @param {Does} does */
export function sayMissing(seen, does) {
  const focused = document.activeElement;
  const at = [...byId("missing").querySelectorAll("button")].findIndex((known) => known === focused);
  byId("missing").replaceChildren(...seen.missing.map((missing) => item(missing, does)));
  byId("twice").replaceChildren(...seen.twice.map((missing) => item(missing, does)));
  byId("twice-section").hidden = seen.twice.length === 0;
  // By key one goes on with what comes next.
  if (at >= 0) {
    const left = [...byId("missing").querySelectorAll("button")];
    (left[Math.min(at, left.length - 1)] ?? byId("make")).focus({ preventScroll: true });
  }
  byId("nothing-missing").hidden = seen.missing.length > 0;
  byId("still-title").textContent = seen.missing.length > 0 ? `What is still missing: ${seen.missing.length}` : "What is still missing";
}

/** Shows on the drawing what is meant. @param {import("./words.js").Thing[]} things @param {boolean} on */
function light(things, on) {
  for (const thing of things) {
    document.querySelector(`#sheet [data-thing="${CSS.escape(JSON.stringify(thing))}"]`)?.classList.toggle("met", on);
  }
}
