// The pieces on the cloth: a search is begun and stopped, its best so far shown; a copy is taken hold of, moved and turned. Where
// it settles and what it meets the server says.

import * as ask from "./ask.js";
import { made, press, rows, said } from "./choices.js";
import { bringIntoView, dot, drawn, element, keepStill, letMove, placeAt, setWordsOf } from "./ground.js";
import { letGo } from "./hand.js";
import { byId, forKeys, item, sayDoing, sayHeld, seeHeld, why } from "./sentences.js";

/** @typedef {{ number: number, called: string, paper: string, drawing: string, at: [number, number], "can-be-turned": boolean }} Copy */
/** @typedef {{ "is-running": boolean, says: import("./ask.js").Line | null, copies: Copy[], told: import("./ask.js").Line[], number: number, "is-kept": boolean, "can-match": boolean, "can-take-back": boolean }} Layout */

/** How far, in pixels, a pointer moves before that is meant. */
const MEANT = 4;
/** How far a press of an arrow key moves a copy, mm; with the shift key; and a press of Page Up or Page Down along the cloth. */
const [PRESSED, PRESSED_FINELY, PRESSED_FAR] = [10, 1, 500];
/** How often is asked how far a search has come, ms. */
const ASKED = 500;

/** @type {Layout | null} */
let now = null;
/** @type {import("./ask.js").FormField[]} */
let fields = [];
/** What is done to have the whole table seen anew. @type {() => Promise<void>} */
let seeAnew = async () => {};
/** What the table has been seen as. @type {() => number} */
let revision = () => 0;
let isAsked = false;
/** How the copies lay when the garment was shown last as it is sewn, and how often it was. */
let sewnAs = "";
let sewings = 0;

/** The copy in the hand: where its middle is to be, how it is turned, and where the pointer took hold. @type {{ copy: Copy, at: [number, number], turn: "none" | "next", from: { x: number, y: number, id: number, at: [number, number] } | null, isMoved: boolean } | null} */
let held = null;
/** Whether it was taken by a pointer: no mark of the keyboard stays where it was. */
let isByPointer = false;
let isTrying = false;
let isStale = false;

/** @param {Copy} copy */
function laid(copy) {
  const group = element("g", { class: "copy", "data-copy": String(copy.number) });
  const paper = element("path", { class: "paper", d: copy.paper });
  group.append(paper);
  if (copy.drawing) group.append(drawn(copy.drawing));
  if (!now?.["is-kept"]) return group;
  const turns = copy["can-be-turned"] ? "; T turns it" : "";
  const keys = forKeys(`, or move it with the arrow keys, or far with Page Up and Page Down${turns}; Enter keeps it, Escape leaves it`);
  const says = `${copy.called} on the cloth: drag it${keys}`;
  for (const [name, value] of Object.entries({ tabindex: "0", role: "button", "aria-label": says })) paper.setAttribute(name, value);
  group.addEventListener("pointerdown", (event) => begins(event, copy));
  group.addEventListener("keydown", (event) => keyed(event, copy));
  return group;
}

/** The number of the copy that has the focus. */
export const focused = () => /** @type {SVGElement | null} */ (document.activeElement?.closest(".copy"))?.dataset.copy;

/** Draws what lies on the cloth; the copy that had the focus keeps it. @param {string | undefined} had */
export function draw(had = focused()) {
  const copies = (now?.copies ?? []).map(laid);
  document.getElementById("laid")?.replaceChildren(...copies);
  setWordsOf(copies);
  if (held) of(held.copy.number)?.classList.add("held");
  if (had) focus(Number(had));
}

/** @param {number} number @returns {SVGElement | null} */
const of = (number) => document.querySelector(`#laid .copy[data-copy="${number}"]`);

/** @param {number} number */
const focus = (number) => /** @type {SVGElement | null | undefined} */ (of(number)?.querySelector(".paper"))?.focus({ preventScroll: true });

/** @param {Layout} layout */
function show(layout) {
  now = layout;
  draw();
  // On cloth with a pattern what lies under a piece is seen through it.
  byId("sheet").classList.toggle("patterned", layout["can-match"]);
  byId("lay-says").replaceChildren(...(layout.says ? [item(layout.says)] : []));
  byId("lay-told").replaceChildren(...layout.told.map(item));
  byId("lay-stop").hidden = !layout["is-running"];
  byId("lay-go").hidden = layout["is-running"];
  byId("lay-back").hidden = !layout["can-take-back"] || layout["is-running"];
  byId("sewn").hidden = !layout["is-kept"];
  const lies = layout.copies.map(({ at }) => at.join(" ")).join();
  if (layout["is-kept"] && lies !== sewnAs) {
    sewnAs = lies;
    sewings += 1;
    /** @type {HTMLImageElement} */ (byId("sewn-picture")).src = `/saved/sewn.svg?${sewings}`;
  }
  if (layout["is-running"]) askAgain();
}

/** Asks after a while how far the search has come. */
function askAgain() {
  if (isAsked) return;
  isAsked = true;
  setTimeout(async () => {
    isAsked = false;
    const was = now?.["is-running"];
    await look();
    if (was && !now?.["is-running"] && !held) await seeAnew();
  }, ASKED);
}

/** @param {unknown} error */
const sayWrong = (error) => byId("lay-says").replaceChildren(item({ good: false, sentence: why(error) }));

/** Looks what lies on the cloth. */
export async function look() {
  try {
    const layout = await ask.layout();
    const isOther = held !== null && layout.number !== now?.number;
    if (isOther) leave();
    // Under a copy in the hand nothing is drawn anew.
    if (!held) show(layout);
    if (isOther) byId("lay-says").append(item({ good: null, sentence: "The pieces were laid anew: the copy is out of the hand." }));
  } catch (error) {
    sayWrong(error);
  }
}

/** @param {() => Promise<Layout>} what */
async function doIt(what) {
  leave();
  try {
    show(await what());
  } catch (error) {
    sayWrong(error);
  }
}

/** @param {Copy} copy */
function hold(copy) {
  letGo();
  held = { copy, at: copy.at, turn: "none", from: null, isMoved: false };
  of(copy.number)?.classList.add("held");
  const presses = [press("Leave it as it was", leave)];
  if (copy["can-be-turned"]) presses.unshift(press("Turn it", turn));
  sayHeld({ what: `In the hand: ${copy.called} on the cloth.`, how: "It settles where it may lie.", presses: [made("span", { className: "presses" }, ...presses)] });
  // What held before is not said as if it held where the copy is now.
  byId("lay-told").classList.add("before");
}

/** Turns the copy in the hand as the cloth allows. */
function turn() {
  if (!held) return;
  held.turn = held.turn === "none" ? "next" : "none";
  held.isMoved = true;
  sayDoing("moves");
  tryIt();
}

/** Takes the hand off the copy; it lies as before. */
function leave() {
  if (!held) return;
  const { number } = held.copy;
  held = null;
  letMove();
  sayHeld(null);
  byId("lay-told").classList.remove("before");
  byId("told").replaceChildren();
  document.getElementById("trial")?.replaceChildren();
  draw();
  if (!isByPointer) focus(number);
}

/** Tries where the hand is; while that is asked only the newest place is kept. */
async function tryIt() {
  if (isTrying) {
    isStale = true;
    return;
  }
  isTrying = true;
  do {
    isStale = false;
    const mine = held;
    if (!mine) break;
    try {
      const settled = await ask.tryCopy({ copy: mine.copy.number, at: mine.at, turn: mine.turn });
      if (settled && mine === held) showSettled(settled);
    } catch (error) {
      if (mine === held) byId("told").replaceChildren(item({ good: false, sentence: why(error) }));
    }
  } while (isStale && held);
  isTrying = false;
}

/** @param {{ copy: Copy, told: import("./ask.js").Line[] }} settled */
function showSettled({ copy, told }) {
  const group = element("g", { class: "copy" });
  group.append(element("path", { class: "paper", d: copy.paper }), drawn(copy.drawing));
  const hand = element("path", { class: "hand-at", d: held ? dot(held.at) : "" });
  document.getElementById("trial")?.replaceChildren(group, hand);
  setWordsOf([group]);
  byId("told").replaceChildren(...told.map(item));
  // A hand that moves by keys is followed.
  if (held?.isMoved && !held.from) bringIntoView(copy.at);
}

/** Keeps the copy where it settles. */
async function keepIt() {
  const mine = held;
  if (!mine) return;
  if (!mine.isMoved) {
    leave();
    return;
  }
  try {
    const layout = await ask.keepCopy(revision(), now?.number ?? 0, { copy: mine.copy.number, at: mine.at, turn: mine.turn });
    leave();
    show(layout);
    await seeAnew();
    focus(mine.copy.number);
  } catch (error) {
    byId("told").replaceChildren(item({ good: false, sentence: why(error) }));
  }
}

/** @param {PointerEvent} event @param {Copy} copy */
function begins(event, copy) {
  if (event.defaultPrevented || event.button !== 0) return;
  event.preventDefault();
  isByPointer = true;
  if (held?.copy.number !== copy.number) hold(copy);
  if (!held) return;
  focus(copy.number);
  byId("sheet").setPointerCapture(event.pointerId);
  held.from = { x: event.clientX, y: event.clientY, id: event.pointerId, at: held.at };
  keepStill();
}

/** @param {PointerEvent} event */
function moves(event) {
  const from = held?.from;
  if (!held || !from || from.id !== event.pointerId) return;
  if (!held.isMoved && Math.hypot(event.clientX - from.x, event.clientY - from.y) < MEANT) return;
  held.isMoved = true;
  sayDoing("moves");
  const [[x0, y0], [x, y]] = [placeAt(from.x, from.y), placeAt(event.clientX, event.clientY)];
  held.at = [from.at[0] + x - x0, from.at[1] + y - y0];
  tryIt();
}

/** @param {PointerEvent} event */
function ends(event) {
  const from = held?.from;
  if (!held || !from || from.id !== event.pointerId) return;
  held.from = null;
  letMove();
  if (Math.hypot(event.clientX - from.x, event.clientY - from.y) >= MEANT) keepIt();
  else seeHeld();
}

/** @param {KeyboardEvent} event @param {Copy} copy */
function keyed(event, copy) {
  const by = event.shiftKey ? PRESSED_FINELY : PRESSED;
  /** @type {Record<string, [number, number]>} */
  const arrows = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by], PageUp: [0, -PRESSED_FAR], PageDown: [0, PRESSED_FAR] };
  const arrow = arrows[event.key];
  const isTurn = event.key === "t" || event.key === "T";
  if (event.key !== "Escape") isByPointer = false;
  if (event.key === "Escape") {
    leave();
    if (isByPointer && document.activeElement instanceof SVGElement) document.activeElement.blur();
  } else if (event.key === "Enter" || event.key === " ") {
    if (held) keepIt();
    else hold(copy);
  } else if (arrow || (isTurn && copy["can-be-turned"])) {
    if (held?.copy.number !== copy.number) hold(copy);
    if (!held) return;
    if (isTurn) {
      turn();
    } else {
      held.at = [held.at[0] + arrow[0], held.at[1] + arrow[1]];
      held.isMoved = true;
      sayDoing("moves");
      tryIt();
    }
  } else {
    return;
  }
  event.preventDefault();
}

/** What a press in the hand can say of the layout of the seam that is held: that like meets like there. @param {unknown} thing */
export function offerMatch(thing) {
  const at = byId("match-here");
  at.replaceChildren();
  const edge = typeof thing === "object" && thing !== null && "edge" in thing ? String(thing.edge) : null;
  const input = /** @type {HTMLInputElement | null} */ (document.getElementById("lay-match"));
  if (!edge || !input || !now?.["can-match"]) return;
  const edges = input.value.split(",").map((one) => one.trim()).filter((one) => one !== "");
  const is = edges.includes(edge);
  const says = is ? "Like need not meet like here on the cloth" : "Like meets like at this seam on the cloth";
  const button = press(says, () => {
    input.value = (is ? edges.filter((one) => one !== edge) : [...edges, edge]).join(", ");
    offerMatch(thing);
    at.querySelector("button")?.focus();
  });
  at.replaceChildren(button);
}

/** Lays out what is chosen of a search. @param {{ seeAnew: () => Promise<void>, revision: () => number }} table */
export async function begin(table) {
  ({ seeAnew, revision } = table);
  fields = await ask.layForm();
  const form = /** @type {HTMLFormElement} */ (byId("lay-form"));
  form.replaceChildren(...rows(fields, "lay", { seldom: ask.SEARCH }));
  form.addEventListener("submit", (event) => event.preventDefault());
  byId("lay-go").addEventListener("click", () => doIt(() => ask.beginLay(said(form, fields))));
  byId("lay-stop").addEventListener("click", () => doIt(ask.stopLay));
  byId("lay-back").addEventListener("click", async () => {
    await doIt(() => ask.takeMoveBack(now?.number ?? 0));
    await seeAnew();
  });
  const sheet = byId("sheet");
  sheet.addEventListener("pointermove", moves);
  sheet.addEventListener("pointerup", ends);
  sheet.addEventListener("pointercancel", ({ pointerId }) => {
    if (held?.from?.id === pointerId) leave();
  });
  await look();
}
