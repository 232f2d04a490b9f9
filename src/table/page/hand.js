// The hand: it takes hold of something, moves it, and lets go; or presses a thing, and fills in what is to be done with it. What
// that means the server says.

import * as ask from "./ask.js";
import * as form from "./form.js";
import { draw, drawInVain, drawStrokeInVain, edge, gripOf, layOver, layPlaces, mmOfPixel } from "./ground.js";
import { offerEdges, onEdge } from "./nearer.js";
import { hideNote, note } from "./note.js";
import { byId, forKeys, onWayOut, sayDoing, sayError, sayHeld, sayRefusal, sayTrial } from "./sentences.js";

/** How near, in pixels, the hand must be to what it is drawn to. */
const REACH = 9;

/**
 * What is held: something at a place, and what the hand does with it; the step that is made of it by a press or a form.
 * @typedef {{ line: SVGElement | null, grip: object | null, ways: ask.Way[], way: ask.Way | null, from: [number, number], at: [number, number], trail: [number, number][], step: object | null, isMoved: boolean }} Held
 */

/** @type {Held | null} */
let held = null;
/** Where in the recipe what is done is meant. @type {ask.At} */
let where = "end";
/** The places that can be dragged. @type {ask.Place[]} */
let places = [];
/** Whether a trial is under way, and whether the hand has moved since. */
let isAsking = false;
let isStale = false;
/** @type {{ keep: (wish: ask.Wish, at: ask.At) => Promise<void>, drop: () => void, showAt: (at: ask.At) => Promise<void>, held: (thing: unknown) => void }} */
let table;

const letGoButton = () => /** @type {HTMLButtonElement} */ (byId("let-go"));

/** How near, in mm, the hand must be to what it is drawn to. */
export const reach = () => REACH * mmOfPixel();

/** What is held. */
export const inHand = () => held;

/** Where in the recipe what is done is meant. */
export const isMeantAt = () => where;

/** Whether the hand draws a line. */
export const isDrawing = () => held !== null && held.step === null && !form.isOpen() && held.way?.line != null;

/** @param {Held} of @returns {ask.Wish} */
function wishOf({ step, grip, from, at, trail, way }) {
  return step ? { step } : { hand: { holds: grip ?? {}, from, at, trail, way: way?.way ?? null, reach: reach() } };
}

/** Tries where the hand is; while a trial is under way only the newest place is kept. */
export async function tryIt() {
  if (isAsking) {
    isStale = true;
    return;
  }
  isAsking = true;
  do {
    isStale = false;
    const of = held;
    if (!of) break;
    try {
      const trial = await ask.tried(wishOf(of), where);
      if (trial && of === held && held.isMoved) showTrial(trial);
    } catch (error) {
      sayError(error);
    }
  } while (isStale && held);
  isAsking = false;
}

/** @param {ask.Trial} trial */
function showTrial(trial) {
  layOver(trial.pieces, trial.gone);
  draw(trial.drawn, trial.snaps);
  if (held && !held.step && trial.refused && !trial.refused.unsaid && !trial.drawn) showInVain(held);
  places = trial.places;
  showPlaces();
  // Of what is refused nothing comes: what stands above is of the table as it lies.
  if (!trial.verdicts) table.drop();
  sayTrial(trial);
  if (trial.refused?.unsaid) form.showMore();
  letGoButton().disabled = trial.refused !== null || trial.recipe === null;
  if (held && !held.step) note(held.at, trial);
}

/** Shows where the hand has what it holds, though it cannot be there. @param {Held} of */
function showInVain({ line, from, at, trail }) {
  if (isDrawing()) drawStrokeInVain([from, ...trail, at]);
  else if (line) drawInVain(line, [at[0] - from[0], at[1] - from[1]]);
}

/** Lays handles to the ends of a line that is drawn, or to the places of a form. */
function showPlaces() {
  if (held && isDrawing() && held.isMoved) {
    const { from, at } = held;
    layPlaces([{ name: "from", says: "One end of the line", at: from }, { name: "between", says: "What the line runs through", at: placeOf("between") }, { name: "at", says: "The other end of the line", at }]);
  } else {
    layPlaces(places.map((place, i) => ({ name: String(i), says: place.says, at: place.at })));
  }
}

/** Takes something into the hand. @param {SVGElement | null} line @param {string} what @param {string} [how] @param {string} [byKey] */
function hold(line, what, how, byKey) {
  release();
  const known = line && gripOf(line);
  const ways = known?.ways ?? [];
  held = { line, grip: known?.grip ?? null, ways, way: ways[0] ?? null, from: known?.at ?? [0, 0], at: known?.at ?? [0, 0], trail: [], step: null, isMoved: false };
  if (line) markHeld(line);
  sayHeld({ what, how, byKey });
  byId("choices").hidden = false;
  letGoButton().disabled = true;
}

/** @param {SVGElement} line */
export function takeHold(line) {
  const isPiece = line.classList.contains("paper");
  const known = gripOf(line);
  const how = isPiece ? "Drag it to what it is sewn to, or onto other cloth." : "Drag it, and let it go where it is to be.";
  const byKey = isPiece ? "" : forKeys("Arrow keys move it as well; Enter keeps it, Escape leaves it.");
  if (known) hold(line, `In the hand: ${line.dataset.called}.`, how, byKey);
  else hold(line, `In the hand: ${line.dataset.called}.`);
  sayWays();
  offerEdges(line);
  const thing = JSON.parse(line.dataset.thing ?? "null");
  table.held(thing);
  form.sayOffers(thing, where);
}

/** Takes an edge whose name was pressed. @param {SVGElement} named */
function takeEdge(named) {
  const line = laidAnew(named) ?? named;
  takeHold(line);
  line.focus({ preventScroll: true });
}

/** Says what the hand may do, where there is a choice. */
function sayWays() {
  const ways = held?.ways ?? [];
  const choices = ways.map((way) => {
    const label = document.createElement("label");
    const input = Object.assign(document.createElement("input"), { type: "radio", name: "way", value: way.way, checked: way === held?.way });
    label.append(input, ` ${way.says}`);
    return label;
  });
  byId("way-choices").replaceChildren(...choices);
  byId("why").after(byId("ways"));
  byId("ways").hidden = ways.length < 2;
}

/** @param {Event} event */
function chooseWay(event) {
  if (!held || !(event.target instanceof HTMLInputElement)) return;
  const chosen = event.target.value;
  held.way = held.ways.find((way) => way.way === chosen) ?? null;
  if (held.way?.line) {
    [held.from, held.at] = held.way.line;
    held.trail = [];
    sayHeld({ what: `Draw a line across the ${held.line?.dataset.called}, from edge to edge; or move both ends of this one, and keep it.` });
  }
  byDrag();
  tryIt();
}

/** Takes up a step that was pressed, and shows what would come of it. @param {ask.Press} press */
export function takeUp(press) {
  hold(null, press.asks ? `${press.says}: say where.` : `${press.says}: this is what would come of it.`);
  if (press.asks) form.openForm(press.step, where);
  if (!held || press.asks) return;
  Object.assign(held, { step: press.step, isMoved: true });
  letGoButton().disabled = false;
  letGoButton().focus();
  tryIt();
}

/** Shows the pieces as they were where a step is meant. @param {ask.At} at */
async function goTo(at) {
  letGo();
  try {
    await table.showAt(at);
    where = at;
  } catch (error) {
    sayError(error);
  }
}

/** Opens the form of a step that is there. @param {number} number */
export async function changeStep(number) {
  const at = { "in-place-of": number };
  await goTo(at);
  hold(null, `Step ${number}: its fields can be changed. The pieces lie as before this step; what follows is done again.`);
  form.openForm(null, at);
}

/** Offers what can be done before a step. @param {number} number */
export async function insertBefore(number) {
  const at = { before: number };
  await goTo(at);
  hold(null, `What is to be done before step ${number}? The pieces lie there as before this step: take hold of one, or choose.`);
  form.sayOffers("pattern", at);
}

/** Offers all that can be done. */
function doSomething() {
  hold(null, "What is to be done?");
  form.sayOffers("pattern", where);
}

/** Shows what would come of the form as it is filled in. */
function tryForm() {
  if (!held) return;
  sayDoing("holds");
  byId("ways").hidden = true;
  const filled = form.stepFilled();
  held.isMoved = filled !== null;
  hideNote();
  if (filled) {
    held.step = filled;
    tryIt();
  } else {
    sayRefusal(null);
    byId("told").replaceChildren();
    layOver([], []);
    layPlaces([]);
    letGoButton().disabled = true;
  }
}

/** Takes the hand off what it holds. */
function release() {
  if (!held) return;
  const back = byId("hand").contains(document.activeElement) ? held.line : null;
  held = null;
  places = [];
  for (const line of document.querySelectorAll("#sheet .held, #sheet .met")) line.classList.remove("held", "met");
  layOver([], []);
  draw("", []);
  layPlaces([]);
  hideNote();
  sayHeld(null);
  sayRefusal(null);
  form.close();
  offerEdges(null);
  table.held(null);
  byId("told").replaceChildren();
  byId("ways").hidden = true;
  byId("choices").hidden = true;
  back?.focus();
  table.drop();
}

/** The same thing where the table was laid anew; nothing where it is not there any more. @param {SVGElement} line @returns {SVGElement | null} */
export function laidAnew(line) {
  const [sort] = line.classList;
  const is = line.dataset.grip === undefined ? `[data-thing="${CSS.escape(line.dataset.thing ?? "")}"]` : `[data-grip="${CSS.escape(line.dataset.grip)}"]`;
  return document.querySelector(`#sheet > .piece > .${sort}${is}`);
}

/** Goes on with what is in the hand where the table was laid anew beneath it. Whether that is still there. */
export function goOn() {
  if (!held) return true;
  if (held.line) {
    const line = laidAnew(held.line);
    if (!line) {
      release();
      return false;
    }
    const ways = gripOf(line)?.ways ?? [];
    Object.assign(held, { line, ways, way: ways.find(({ way }) => way === held?.way?.way) ?? ways[0] ?? null });
    markHeld(line);
  }
  if (held.isMoved) tryIt();
  return true;
}

/** Marks what is in the hand, and what it is sewn to. @param {SVGElement} line */
function markHeld(line) {
  line.classList.add("held");
  for (const met of (line.dataset.met ?? "").split(/[\s;]+/)) if (met) edge(met)?.classList.add("met");
}

/** Takes the hand away, and shows the table as it is after its last step. */
export function letGo() {
  release();
  if (where === "end") return;
  where = "end";
  table.showAt("end");
}

/** Keeps what is in the hand as it is; where that is refused it stays there. */
export async function keepIt() {
  if (form.isOpen() && !form.stepFilled()) {
    /** @type {HTMLFormElement} */ (byId("form")).reportValidity();
    return;
  }
  if (!held?.isMoved) {
    letGo();
    return;
  }
  try {
    await table.keep(wishOf(held), where);
    where = "end";
    release();
  } catch (error) {
    sayError(error);
  }
}

/** From here on the hand says what is meant, no form. */
export function byDrag() {
  if (!held) return;
  form.close();
  Object.assign(held, { step: null, isMoved: true });
  sayDoing("moves");
  // While the hand moves what comes of it is read first.
  if (!byId("ways").contains(document.activeElement)) byId("choices").after(byId("ways"));
  byId("ways").hidden = held.ways.length < 2;
}

/** The most places of its way that a stroke keeps. */
const MOST_OF_WAY = 40;

/** Draws a stroke on to a place. @param {[number, number]} to */
export function drawTo(to) {
  if (!held) return;
  const last = held.trail.at(-1) ?? held.from;
  if (Math.hypot(to[0] - last[0], to[1] - last[1]) > reach()) held.trail.push(to);
  // Every second place tells as much of a long way.
  if (held.trail.length > MOST_OF_WAY) held.trail = held.trail.filter((_, i) => i % 2 === 0);
}

/** Begins a stroke. @param {[number, number]} at */
export function drawFrom(at) {
  if (held) Object.assign(held, { from: at, at, trail: [] });
}

/** Moves a place that a handle stands for: an end of the line that is drawn, or a place of the form. @param {string} name @param {[number, number]} to */
export function movePlace(name, to) {
  if (!held) return;
  if (name === "between") held.trail = [to];
  if (name === "from" || name === "at") held[name] = to;
  if (Number.isNaN(Number(name))) {
    tryIt();
  } else if (places[Number(name)]) {
    form.movePlace(places[Number(name)], to, reach());
  }
}

/** Where a handle is. @param {string} name @returns {[number, number]} */
export function placeOf(name) {
  if (held && (name === "from" || name === "at")) return held[name];
  if (held && name === "between") return held.trail[held.trail.length >> 1] ?? [(held.from[0] + held.at[0]) / 2, (held.from[1] + held.at[1]) / 2];
  return places[Number(name)]?.at ?? [0, 0];
}

/** @param {typeof table} given */
export function handOver(given) {
  table = given;
  sayHeld(null);
  onWayOut(takeUp);
  byId("ways").addEventListener("change", chooseWay);
  onEdge(takeEdge);
  form.onForm({ changed: tryForm, keep: keepIt });
  byId("more-steps").addEventListener("click", doSomething);
  letGoButton().addEventListener("click", keepIt);
  byId("drop").addEventListener("click", letGo);
}
