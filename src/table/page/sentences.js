// What the page says: the server's sentences, each in its place.

import { Refused, sentenceOf } from "./ask.js";
import { putAnew } from "./choices.js";

/** @typedef {import("./ask.js").Line} Line */
/** @typedef {import("./ask.js").Refusal} Refusal */
/** @typedef {import("./ask.js").Seen} Seen */
/** @typedef {import("./ask.js").Trial} Trial */
/** @typedef {import("./ask.js").Verdicts} Verdicts */
/** @typedef {import("./ask.js").Girth} Girth */
/** @typedef {import("./ask.js").Step} Step */

/** @param {string} id @returns {HTMLElement} */
export const byId = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

/** Whether there is nothing but fingers: of keys nothing is said then. */
const isByFingers = matchMedia("(hover: none) and (pointer: coarse)");

/** What is said of keys, where there are any. @param {string} text */
export const forKeys = (text) => (isByFingers.matches ? "" : text);

/** @param {string} text */
export const capital = (text) => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;

/** @param {HTMLElement} at @param {Line} line */
function say(at, line) {
  at.textContent = line.sentence;
  at.classList.toggle("good", line.good === true);
  at.classList.toggle("bad", line.good === false);
  return at;
}

/** @param {Line} line */
export function item(line) {
  const made = say(document.createElement("li"), line);
  made.append(...(line.presses ?? []).map((press) => button(press.says, "", () => takeWayOut(press))));
  return made;
}

/** @param {Verdicts} verdicts */
export function sayVerdicts(verdicts) {
  say(byId("fits"), verdicts.fits);
  say(byId("is-true"), verdicts["is-true"]);
  say(byId("same-size"), verdicts["same-size"]);
  byId("findings").hidden = verdicts.findings.length === 0;
  byId("each-finding").replaceChildren(...verdicts.findings.map(item));
}

/** @param {Girth} girth @returns {Line} */
const ofGirth = (girth) => ({ good: girth.change.good, sentence: `${girth.level}: ${girth.now}, ${girth.change.sentence}` });

/** @param {Girth[]} girths */
export const sayGirths = (girths) => byId("girths").replaceChildren(...girths.map(ofGirth).map(item));

/** @typedef {{ turn: (number: number, leftOut: boolean) => void, change: (number: number) => void, insert: (number: number) => void }} StepPresses */

/** @param {string} says @param {string} of @param {() => void} press @param {string} [id] by which it is found again */
function button(says, of, press, id = "") {
  const made = Object.assign(document.createElement("button"), { textContent: says, id });
  if (of) made.setAttribute("aria-label", `${says} ${of}`);
  made.addEventListener("click", press);
  return made;
}

/** @param {Step} step @param {StepPresses} presses */
function stepItem(step, presses) {
  const made = document.createElement("li");
  made.classList.toggle("out", step["left-out"]);
  const number = Object.assign(document.createElement("span"), { className: "number", textContent: `${step.number}.` });
  const says = Object.assign(document.createElement("span"), { className: "says", textContent: step.sentence });
  const of = `step ${step.number}`;
  const isOut = step["left-out"];
  const pressed = Object.assign(document.createElement("span"), { className: "presses" });
  pressed.append(button(isOut ? "Put back" : "Leave out", of, () => presses.turn(step.number, !isOut), `turn-${step.number}`));
  pressed.append(button("Change", of, () => presses.change(step.number), `change-${step.number}`));
  pressed.append(button("Insert before", of, () => presses.insert(step.number), `insert-${step.number}`));
  made.append(number, " ", says, pressed);
  if (step.reason) {
    made.append(Object.assign(document.createElement("p"), { className: "reason", textContent: `Left out: ${step.reason}` }));
  }
  if (step.refused) {
    const why = Object.assign(document.createElement("p"), { className: "bad" });
    why.textContent = `Cannot be done: ${sentenceOf(step.refused)}`;
    made.append(why);
  }
  const warned = step.told.filter((line) => line.good === false);
  const plain = step.told.filter((line) => line.good !== false);
  if (warned.length > 0) {
    const list = document.createElement("ul");
    list.append(...warned.map(item));
    made.append(list);
  }
  if (plain.length > 0) {
    const more = Object.assign(document.createElement("details"), { id: `told-${step.number}` });
    const list = document.createElement("ul");
    list.append(...plain.map(item));
    more.append(Object.assign(document.createElement("summary"), { textContent: "What came of it", id: `told-${step.number}-says` }), list);
    made.append(more);
  }
  return made;
}

/** @param {Seen} seen @param {StepPresses} presses */
export function sayAll(seen, presses) {
  document.title = `${seen.title}: cutting table`;
  byId("title").textContent = seen.title;
  sayVerdicts(seen.verdicts);
  sayGirths(seen.girths);
  putAnew(byId("steps"), seen.steps.map((step) => stepItem(step, presses)));
  byId("none").hidden = seen.steps.length > 0;
  /** @type {HTMLButtonElement} */ (byId("undo")).disabled = !seen["can-undo"];
  /** @type {HTMLButtonElement} */ (byId("again")).disabled = !seen["can-do-again"];
  byId("news").textContent = seen.news ?? "";
  byId("outside").hidden = !seen.outside;
  byId("outside-said").textContent = seen.outside?.sentence ?? "";
  byId("aside").hidden = !seen.outside?.["can-be-put-aside"];
}

/** What is said where nothing is in the hand. */
const NOTHING_HELD = "Take hold of a seam, and move it; or press a piece, an edge, a dart or a level.";

/** What the hand is doing: while it moves something, what comes of it is seen before all else. @param {"nothing" | "holds" | "moves"} what */
export function sayDoing(what) {
  byId("hand").classList.toggle("holds", what !== "nothing");
  byId("hand").classList.toggle("moves", what === "moves");
}

/** Says what is in the hand, and how it is gone on with, for hands and for keys; nothing where nothing is. @param {{ what: string, how?: string, byKey?: string, presses?: Node[] } | null} held */
export function sayHeld(held) {
  const how = [["how", held?.how], ["how for-keys", held?.byKey]].flatMap(([className, text]) => (text ? [" ", Object.assign(document.createElement("span"), { className, textContent: text })] : []));
  byId("held").replaceChildren(held?.what ?? NOTHING_HELD, ...how, ...(held?.presses ?? []));
  sayDoing(held ? "holds" : "nothing");
}

/** Brings what is said of what is in the hand into sight. */
export const seeHeld = () => byId("hand").scrollIntoView({ block: "nearest" });

/** What is done when a way out is pressed. @type {(press: import("./ask.js").Press) => void} */
let takeWayOut = () => {};

/** @param {typeof takeWayOut} given */
export const onWayOut = (given) => void (takeWayOut = given);

/** What is left to be said, where nothing is wrong yet. @param {Refusal} refusal */
const leftToSay = (refusal) => `Nothing is changed yet${refusal["way-out"] ? `: ${refusal["way-out"]}` : ""}. What is left empty stays as it is.`;

/** Says why something is refused, with the ways out to press; nothing where nothing is. @param {Refusal | null} refusal */
export function sayRefusal(refusal) {
  byId("refused").textContent = refusal ? (refusal.unsaid ? leftToSay(refusal) : `${sentenceOf(refusal)}.`) : "";
  byId("refused").classList.toggle("unsaid", refusal?.unsaid === true);
  const presses = (refusal?.presses ?? []).map((press) => button(press.says, "", () => takeWayOut(press)));
  byId("ways-out").replaceChildren(...presses);
}

/** Why something could not be done, as a sentence. @param {unknown} error */
export const why = (error) => `${capital(error instanceof Error ? error.message : String(error))}.`;

/** @param {unknown} error */
export function sayError(error) {
  sayRefusal(error instanceof Refused ? error.refusal : { what: error instanceof Error ? error.message : String(error) });
}

/** What would come of what the hand does. @param {Trial} trial */
export function sayTrial(trial) {
  sayRefusal(trial.refused);
  const holds = trial.holds ? [{ good: trial["holds-well"], sentence: `It holds here, ${trial.holds}.` }] : [];
  const widths = trial.pieces.flatMap((piece) => piece.fit ?? []);
  const told = trial.told.filter((line) => line.good === false);
  byId("told").replaceChildren(...[...holds, ...widths, ...trial.seams, ...told].map(item));
  if (trial.verdicts) sayVerdicts(trial.verdicts);
  if (trial.girths.length > 0) sayGirths(trial.girths);
}
