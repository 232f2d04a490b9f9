// What pointers and keys do on the ground, with what lies there.

import * as form from "./form.js";
import { gripOf, keepStill, layFinger, letMove, placeAt } from "./ground.js";
import { byDrag, drawFrom, drawTo, inHand, isDrawing, keepIt, laidAnew, letGo, movePlace, placeOf, reach, takeHold, tryIt } from "./hand.js";
import { light, near } from "./near.js";
import { nearTo } from "./nearer.js";
import { byId, seeHeld } from "./sentences.js";

/** How far, in pixels, a pointer moves before that is meant. */
const MEANT = 4;
/** How far a press of an arrow key moves what is held, mm; and with the shift key. */
const [PRESSED, PRESSED_FINELY] = [5, 1];

/** What the pointer is down on: what it does from there on, where it was put down and is, and whether that was in the hand before. @type {{ does: "press" | "drag" | "place", line: SVGElement, x: number, y: number, id: number, isAgain: boolean, now: { x: number, y: number } } | null} */
let down = null;

/** Whether what is in the hand was taken by a pointer: no mark of the keyboard stays where it was. */
let isByPointer = false;

/** Whether something can be pressed. @param {unknown} line @returns {line is SVGElement} */
const isThing = (line) => line instanceof SVGElement && line.dataset.thing !== undefined;

/** Whether something is taken hold of where the pointer is put down: a piece only once it is in the hand, since the ground moves under a hand that holds nothing. @param {SVGElement} line */
const isTaken = (line) => gripOf(line) !== null && (!line.classList.contains("paper") || inHand()?.line === line);

/** @param {PointerEvent} event */
function begins(event) {
  isByPointer = true;
  const line = near(event) ?? event.target;
  if (event.button !== 0 || !(line instanceof SVGElement)) return;
  light(null);
  const [x, y, id] = [event.clientX, event.clientY, event.pointerId];
  if (down && down.id !== id) {
    // Two fingers hold the ground, whatever the first lies on.
    layFinger(down.id, down.now.x, down.now.y);
    if (down.does === "drag") letGo();
    down = null;
    letMove();
    return;
  }
  const held = inHand();
  const put = { line, x, y, id, isAgain: held?.line === line, now: { x, y } };
  if (line.dataset.place !== undefined) {
    down = { does: "place", ...put };
    line.focus({ preventScroll: true });
  } else if (held && isDrawing()) {
    drawFrom(placeAt(x, y));
    held.isMoved = false;
    down = { does: "drag", ...put };
  } else if (!isThing(line)) {
    return;
  } else if (form.wantsPlace() || !isTaken(line)) {
    down = { does: "press", ...put };
    return;
  } else {
    line.focus({ preventScroll: true });
    if (held?.line !== line) takeHold(line);
    const now = inHand();
    // A seam is moved to where the hand is; a piece by as much as the hand.
    if (now) now.from = placeAt(x, y);
    down = { does: "drag", ...put };
  }
  keepStill();
  event.preventDefault();
  byId("sheet").setPointerCapture(event.pointerId);
}

/** @param {PointerEvent} event */
function moves(event) {
  if (!down && event.buttons === 0 && event.pointerType !== "touch") light(near(event));
  if (!down || down.id !== event.pointerId) return;
  down.now = { x: event.clientX, y: event.clientY };
  if (down.does === "press") return;
  const to = placeAt(event.clientX, event.clientY);
  if (down.does === "place") {
    movePlace(down.line.dataset.place ?? "", to);
    return;
  }
  const held = inHand();
  if (!held || (!held.isMoved && Math.hypot(event.clientX - down.x, event.clientY - down.y) < MEANT)) return;
  byDrag();
  if (isDrawing()) drawTo(to);
  held.at = to;
  tryIt();
}

/** @param {PointerEvent} event */
function ends(event) {
  const was = down;
  if (!was || was.id !== event.pointerId) return;
  down = null;
  letMove();
  const isPress = Math.hypot(event.clientX - was.x, event.clientY - was.y) < MEANT;
  if (was.does === "drag" && inHand()?.isMoved && !isPress) {
    keepIt();
  } else if (was.does === "press" && isPress) {
    const piece = /** @type {HTMLElement | null} */ (was.line.closest(".piece"))?.dataset.name;
    if (form.wantsPlace() && piece) {
      form.fillPlace(piece, placeAt(event.clientX, event.clientY), reach());
    } else {
      const line = was.line.isConnected ? was.line : laidAnew(was.line);
      line?.focus({ preventScroll: true });
      if (line) takeHold(line);
    }
  }
  // A second press on a piece that is seen small comes nearer to it.
  if (isPress && was.isAgain && was.line.classList.contains("paper")) nearTo(was.line);
  if (isPress) seeHeld();
}

/** @param {KeyboardEvent} event @returns {[number, number] | null} */
function arrow(event) {
  const by = event.shiftKey ? PRESSED_FINELY : PRESSED;
  /** @type {Record<string, [number, number]>} */
  const arrows = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] };
  return arrows[event.key] ?? null;
}

/** @param {KeyboardEvent} event */
function keyed(event) {
  if (event.key === "Escape") {
    letGo();
    if (isByPointer && document.activeElement instanceof SVGElement) document.activeElement.blur();
  } else {
    isByPointer = false;
  }
  const line = event.target;
  if (!(line instanceof SVGElement)) return;
  const held = inHand();
  const by = arrow(event);
  const name = line.dataset.place;
  const isEnter = event.key === "Enter" || event.key === " ";
  if (name !== undefined && (by || isEnter)) {
    const [x, y] = placeOf(name);
    if (by) movePlace(name, [x + by[0], y + by[1]]);
    else keepIt();
  } else if (isThing(line) && isEnter) {
    if (held?.line === line && gripOf(line)) keepIt();
    else takeHold(line);
  } else if (held?.line === line && gripOf(line) && by && !isDrawing()) {
    byDrag();
    held.at = [held.at[0] + by[0], held.at[1] + by[1]];
    tryIt();
  } else {
    return;
  }
  event.preventDefault();
}

export function listen() {
  const sheet = byId("sheet");
  sheet.addEventListener("pointerdown", begins, { capture: true });
  sheet.addEventListener("pointermove", moves);
  sheet.addEventListener("pointerup", ends);
  sheet.addEventListener("pointerleave", () => light(null));
  sheet.addEventListener("pointercancel", () => {
    if (down && down.does !== "press") letGo();
    down = null;
    letMove();
  });
  document.addEventListener("keydown", keyed);
  // What is said for keys is not said to a finger.
  const by = (/** @type {string} */ what) => void (document.documentElement.dataset.by = what);
  document.addEventListener("pointerdown", ({ pointerType }) => by(pointerType === "touch" ? "finger" : "mouse"), { capture: true });
  document.addEventListener("keydown", () => by("keys"), { capture: true });
}
