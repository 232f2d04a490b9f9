// The hand: it takes hold of a seam, moves it, and lets go; or presses a thing, and fills in what is to be done with it. What
// that means the server says.

import * as ask from "./ask.js";
import * as form from "./form.js";
import { edge, layOver, mmOfPixel, placeAt, thing } from "./ground.js";
import { byId, onWayOut, sayError, sayRefusal, sayTrial } from "./sentences.js";

/** How near, in pixels, the hand must be to what it may hold at. */
const REACH = 9;
/** How far, in pixels, it moves before that is meant. */
const MEANT = 4;
/** How far a press of an arrow key moves it, mm; and with the shift key. */
const [PRESSED, PRESSED_FINELY] = [5, 1];

/**
 * What is held: an edge of a seam at a place, or anything else that was pressed; and the step that is made of it by a press or
 * a form, with where in the recipe it is meant.
 * @type {{ line: SVGElement | null, at: [number, number], step: object | null, place: ask.At, isMoved: boolean, from: { x: number, y: number } | null } | null}
 */
let held = null;
/** What the pointer was put down on to press it. @type {{ line: SVGElement, x: number, y: number } | null} */
let pressed = null;
/** Whether a trial is under way, and whether the hand has moved since. */
let isAsking = false;
let isStale = false;
/** @type {{ keep: (wish: ask.Wish, at: ask.At) => Promise<void>, drop: () => void }} */
let table;

const letGoButton = () => /** @type {HTMLButtonElement} */ (byId("let-go"));

/** Whether something is an edge that is dragged. @param {SVGElement} line */
const isSeam = (line) => line.classList.contains("edge") && !line.classList.contains("free");

/** Whether something can be pressed. @param {unknown} line @returns {line is SVGElement} */
const isThing = (line) => line instanceof SVGElement && line.dataset.thing !== undefined;

/** @returns {ask.Wish} */
function wish() {
  if (held?.step) return { step: held.step };
  const runs = /** @type {HTMLInputElement | null} */ (document.querySelector("#runs input:checked"))?.value ?? "straight";
  return { hand: { edge: held?.line?.dataset.edge ?? "", at: held?.at ?? [0, 0], runs, reach: REACH * mmOfPixel() } };
}

/** Tries where the hand is; while a trial is under way only the newest place is kept. */
async function tryIt() {
  if (isAsking) {
    isStale = true;
    return;
  }
  isAsking = true;
  do {
    isStale = false;
    try {
      const trial = await ask.tried(wish(), held?.place ?? "end");
      if (trial && held?.isMoved) {
        layOver(trial.pieces, trial.gone);
        // Of what is refused nothing comes: what stands above is of the table as it lies.
        if (!trial.verdicts) table.drop();
        sayTrial(trial);
        letGoButton().disabled = trial.refused !== null;
      }
    } catch (error) {
      sayError(error);
    }
  } while (isStale && held);
  isAsking = false;
}

/** Takes something into the hand. @param {SVGElement | null} line @param {string} says */
function hold(line, says) {
  letGo();
  held = { line, at: [0, 0], step: null, place: "end", isMoved: false, from: null };
  line?.classList.add("held");
  byId("held").textContent = says;
  byId("choices").hidden = false;
  letGoButton().disabled = true;
}

/** @param {SVGElement} line */
function takeHold(line) {
  if (!isSeam(line)) {
    hold(line, `You hold the ${line.dataset.called}.`);
  } else {
    hold(line, `You hold the ${line.dataset.called}. Drag it, or move it with the arrow keys; Enter keeps it, Escape leaves it.`);
    const [x, y] = (line.dataset.middle ?? "0 0").split(" ").map(Number);
    if (held) held.at = [x, y];
    for (const met of (line.dataset.met ?? "").split(/[\s;]+/)) edge(met)?.classList.add("met");
    byId("runs").hidden = false;
    letGoButton().disabled = false;
  }
  form.sayOffers(JSON.parse(line.dataset.thing ?? "null"), "end");
}

/** Takes up a step that was pressed, and shows what would come of it. @param {ask.Press} press */
function takeUp(press) {
  const place = held?.place ?? "end";
  hold(null, `${press.says}: this is what would come of it.`);
  if (!held) return;
  Object.assign(held, { step: press.step, place, isMoved: true });
  letGoButton().disabled = false;
  letGoButton().focus();
  tryIt();
}

/** Opens the form of a step that is there. @param {number} number */
export function changeStep(number) {
  hold(null, `Step ${number}: change what you like. What follows is done again.`);
  form.openForm(null, { "in-place-of": number });
}

/** Offers what can be done before a step. @param {number} number */
export function insertBefore(number) {
  hold(null, `What is to be done before step ${number}?`);
  form.sayOffers("pattern", { before: number });
}

/** Shows what would come of the form as it is filled in. */
function tryForm() {
  if (!held) return;
  byId("runs").hidden = true;
  const filled = form.stepFilled();
  held.isMoved = filled !== null;
  if (filled) {
    Object.assign(held, { step: filled.step, place: filled.at });
    tryIt();
  } else {
    sayRefusal(null);
    byId("told").replaceChildren();
    layOver([], []);
    letGoButton().disabled = true;
  }
}

/** Takes the hand away. */
export function letGo() {
  if (!held) return;
  const back = byId("hand").contains(document.activeElement) ? held.line?.dataset.thing : undefined;
  held = null;
  for (const line of document.querySelectorAll("#sheet .held, #sheet .met")) line.classList.remove("held", "met");
  layOver([], []);
  byId("held").textContent = "Take hold of a seam, and move it; or press a piece, an edge, a dart or a level.";
  sayRefusal(null);
  form.close();
  byId("told").replaceChildren();
  byId("runs").hidden = true;
  byId("choices").hidden = true;
  if (back) thing(back)?.focus();
  table.drop();
}

/** Keeps what is in the hand as it is; where that is refused it stays there. */
async function keepIt() {
  if (form.isOpen() && !form.stepFilled()) {
    /** @type {HTMLFormElement} */ (byId("form")).reportValidity();
    return;
  }
  if (!held?.isMoved) {
    letGo();
    return;
  }
  try {
    await table.keep(wish(), held.place);
    letGo();
  } catch (error) {
    sayError(error);
  }
}

/** Moves the hand to the pointer, and tries what that means. @param {PointerEvent} event */
function moveTo(event) {
  if (!held?.from) return;
  if (!held.isMoved && Math.hypot(event.clientX - held.from.x, event.clientY - held.from.y) < MEANT) return;
  byDrag();
  held.at = placeAt(event.clientX, event.clientY);
  tryIt();
}

/** From here on the hand says what is meant, no form. */
function byDrag() {
  if (!held) return;
  form.close();
  Object.assign(held, { step: null, place: "end", isMoved: true });
  byId("runs").hidden = false;
}

/** @param {typeof table} given */
export function handOver(given) {
  table = given;
  onWayOut(takeUp);
  const sheet = byId("sheet");
  sheet.addEventListener("pointerdown", (event) => {
    const line = event.target;
    if (!isThing(line) || event.button !== 0) return;
    // The ground moves under a hand that holds no seam.
    pressed = isSeam(line) && !form.wantsPlace() ? null : { line, x: event.clientX, y: event.clientY };
    if (pressed) return;
    event.preventDefault();
    line.focus({ preventScroll: true });
    if (held?.line !== line) takeHold(line);
    if (held) held.from = { x: event.clientX, y: event.clientY };
    sheet.setPointerCapture(event.pointerId);
  }, { capture: true });
  sheet.addEventListener("pointermove", moveTo);
  sheet.addEventListener("pointerup", (event) => {
    const is = pressed && Math.hypot(event.clientX - pressed.x, event.clientY - pressed.y) < MEANT;
    const piece = /** @type {HTMLElement | null | undefined} */ (pressed?.line.closest(".piece"))?.dataset.name;
    if (pressed && is && form.wantsPlace() && piece) {
      form.fillPlace(piece, placeAt(event.clientX, event.clientY), REACH * mmOfPixel());
    } else if (pressed && is) {
      pressed.line.focus({ preventScroll: true });
      takeHold(pressed.line);
    }
    pressed = null;
    if (!held?.from) return;
    held.from = null;
    if (held.isMoved) keepIt();
  });
  sheet.addEventListener("pointercancel", () => letGo());
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") letGo();
    const line = event.target;
    if (!isThing(line)) return;
    const by = event.shiftKey ? PRESSED_FINELY : PRESSED;
    /** @type {Record<string, [number, number]>} */
    const arrows = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] };
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      if (held?.line === line && isSeam(line)) keepIt();
      else takeHold(line);
    } else if (held?.line === line && held && isSeam(line) && arrows[event.key]) {
      event.preventDefault();
      const [x, y] = arrows[event.key];
      byDrag();
      held.at = [held.at[0] + x, held.at[1] + y];
      tryIt();
    }
  });
  byId("runs").addEventListener("change", () => held?.isMoved && tryIt());
  form.onForm({ changed: tryForm, keep: keepIt });
  byId("more-steps").addEventListener("click", () => {
    hold(null, "What is to be done?");
    form.sayOffers("pattern", "end");
  });
  letGoButton().addEventListener("click", keepIt);
  byId("drop").addEventListener("click", letGo);
}

/** Whether the hand holds nothing. */
export const isEmpty = () => held === null;
