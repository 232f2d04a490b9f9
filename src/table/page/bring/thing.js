// What is in the hand: what it is, what can be said of it at one press, and what can be written.

import { ask, button, byId, sayError } from "./words.js";

/** @typedef {import("./words.js").Thing} Thing */

/** What is in the hand, and what was before it. @type {Thing | null} */
let held = null;
/** @type {Thing | null} */
let before = null;
/** @type {{ keep: (edit: object) => Promise<boolean> }} */
let does;

/** @param {typeof does} given */
export const onHand = (given) => void (does = given);

/** The line that stands for a thing. @param {Thing} thing @returns {SVGElement | null} */
const lineOf = (thing) => document.querySelector(`#sheet [data-thing="${CSS.escape(JSON.stringify(thing))}"]`);

/** Takes a thing into the hand. @param {Thing} thing */
export async function hold(thing) {
  if (JSON.stringify(held) !== JSON.stringify(thing)) before = held;
  held = thing;
  byId("refused").textContent = "";
  await say();
  byId("hand").scrollIntoView({ block: "nearest" });
}

/** Lets go of it. */
export function letGo() {
  const back = held && byId("hand").contains(document.activeElement) ? lineOf(held) : null;
  [held, before] = [null, null];
  byId("refused").textContent = "";
  clear();
  back?.focus({ preventScroll: true });
}

function clear() {
  for (const line of document.querySelectorAll("#sheet .held, #sheet .met")) line.classList.remove("held", "met");
  byId("held").textContent = "";
  for (const id of ["tells", "offers", "fields"]) byId(id).replaceChildren();
  byId("letting").hidden = true;
}

/** Says again what is in the hand, after something changed. @param {import("./words.js").BringSeen} seen */
export async function refresh(seen) {
  if (seen.stage === "map" || (held === "drawing" && seen.stage !== "nothing")) await say();
  else letGo();
}

async function say() {
  const thing = held;
  if (!thing) return;
  try {
    const told = await ask("/bring/thing", { thing, after: before });
    if (held === thing) show(thing, told);
  } catch (error) {
    letGo();
    sayError(error);
  }
}

/** @param {Thing} thing @param {import("./words.js").ThingSeen} told */
function show(thing, told) {
  const focused = document.activeElement instanceof HTMLElement && byId("hand").contains(document.activeElement) ? document.activeElement : null;
  const key = focused?.dataset.key;
  clear();
  lineOf(thing)?.classList.add("held");
  if (before) lineOf(before)?.classList.add("met");
  byId("held").textContent = told.says;
  byId("tells").replaceChildren(...told.tells.map((text) => Object.assign(document.createElement("li"), { textContent: text })));
  byId("offers").replaceChildren(...told.offers.map(offer));
  byId("fields").replaceChildren(...told.fields.map(field));
  byId("letting").hidden = false;
  if (focused) {
    const again = key ? document.querySelector(`#hand [data-key="${CSS.escape(key)}"]`) : null;
    const next = again ?? document.querySelector("#offers button, #fields button, #fields input");
    if (next instanceof HTMLElement) next.focus({ preventScroll: true });
  }
}

/** Does what is said of a thing; what was pressed before it is then done with. @param {object} edit */
async function keep(edit) {
  if (!("say" in edit)) before = null;
  await does.keep(edit);
}

/** @param {import("./words.js").Answer} answer */
function offer(answer) {
  const item = document.createElement("li");
  const made = button(answer.says, () => keep(answer.edit));
  made.dataset.key = `offer ${answer.says}`;
  item.append(made);
  return item;
}

/** @param {import("./words.js").Field} of */
function field(of) {
  const made = Object.assign(document.createElement("fieldset"), { className: "field" });
  const legend = document.createElement("legend");
  legend.append(`${of.name} `, Object.assign(document.createElement("span"), { className: "help", textContent: of.help }));
  const words = Object.assign(document.createElement("div"), { className: "words" });
  words.append(...of.words.map((word) => {
    const press = button(word.says, () => keep(word.edit));
    press.setAttribute("aria-pressed", String(word.value === of.value));
    press.dataset.key = `${of.name} ${word.value}`;
    return press;
  }));
  made.append(legend, words);
  if (!of.closed) made.append(input(of));
  return made;
}

/** What is written is kept by Enter, or where the field is left. @param {import("./words.js").Field} of */
function input(of) {
  const made = Object.assign(document.createElement("input"), { type: "text", defaultValue: of.value, name: of.name, spellcheck: false });
  made.setAttribute("aria-label", `${of.name}: ${of.help}`);
  made.dataset.key = `field ${of.name}`;
  const thing = held;
  made.addEventListener("change", async () => {
    if (thing && !(await does.keep({ say: [thing, { [of.name]: made.value }] }))) made.focus();
  });
  return made;
}
