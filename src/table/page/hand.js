// The hand: it takes hold of a seam, moves it, and lets go. What that means the server says.

import * as ask from "./ask.js";
import { edge, layOver, mmOfPixel, placeAt } from "./ground.js";
import { byId, onWayOut, sayError, sayRefusal, sayTrial } from "./sentences.js";

/** How near, in pixels, the hand must be to what it may hold at. */
const REACH = 9;
/** How far, in pixels, it moves before that is meant. */
const MEANT = 4;
/** How far a press of an arrow key moves it, mm; and with the shift key. */
const [PRESSED, PRESSED_FINELY] = [5, 1];

/** What is held: an edge at a place, or a step that was pressed. @type {{ edge: string, at: [number, number], step: object | null, isMoved: boolean, from: { x: number, y: number } | null } | null} */
let held = null;
/** Whether a trial is under way, and whether the hand has moved since. */
let isAsking = false;
let isStale = false;
/** @type {{ keep: (wish: ask.Wish) => Promise<void>, drop: () => void }} */
let table;

/** @returns {ask.Wish} */
function wish() {
  if (held?.step) return { step: held.step };
  const runs = /** @type {HTMLInputElement | null} */ (document.querySelector("#runs input:checked"))?.value ?? "straight";
  return { hand: { edge: held?.edge ?? "", at: held?.at ?? [0, 0], runs, reach: REACH * mmOfPixel() } };
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
      const trial = await ask.tried(wish());
      if (trial && held?.isMoved) {
        layOver(trial.pieces, trial.gone);
        // Of what is refused nothing comes: what stands above is of the table as it lies.
        if (!trial.verdicts) table.drop();
        sayTrial(trial);
        /** @type {HTMLButtonElement} */ (byId("let-go")).disabled = trial.refused !== null;
      }
    } catch (error) {
      sayError(error);
    }
  } while (isStale && held);
  isAsking = false;
}

/** @param {SVGElement} line */
function takeHold(line) {
  letGo();
  const [x, y] = (line.dataset.middle ?? "0 0").split(" ").map(Number);
  held = { edge: line.dataset.edge ?? "", at: [x, y], step: null, isMoved: false, from: null };
  line.classList.add("held");
  for (const met of (line.dataset.met ?? "").split(/[\s;]+/)) edge(met)?.classList.add("met");
  byId("held").textContent = `You hold the ${line.dataset.called}. Drag it, or move it with the arrow keys; Enter keeps it, Escape leaves it.`;
  byId("runs").hidden = false;
  byId("choices").hidden = false;
  /** @type {HTMLButtonElement} */ (byId("let-go")).disabled = false;
}

/** Takes up a step that was pressed, and shows what would come of it. @param {ask.Press} press */
function takeUp(press) {
  letGo();
  held = { edge: "", at: [0, 0], step: press.step, isMoved: true, from: null };
  byId("held").textContent = `${press.says}: this is what would come of it.`;
  byId("choices").hidden = false;
  /** @type {HTMLButtonElement} */ (byId("let-go")).disabled = false;
  byId("let-go").focus();
  tryIt();
}

/** Takes the hand away. */
export function letGo() {
  if (!held) return;
  held = null;
  for (const line of document.querySelectorAll(".edge.held, .edge.met")) line.classList.remove("held", "met");
  layOver([], []);
  byId("held").textContent = "Take hold of a seam, and move it.";
  sayRefusal(null);
  byId("told").replaceChildren();
  byId("runs").hidden = true;
  byId("choices").hidden = true;
  table.drop();
}

/** Keeps the seam where the hand is; where that is refused it stays in the hand. */
async function keepIt() {
  if (!held?.isMoved) {
    letGo();
    return;
  }
  try {
    await table.keep(wish());
    letGo();
  } catch (error) {
    sayError(error);
  }
}

/** Moves the hand to the pointer, and tries what that means. @param {PointerEvent} event */
function moveTo(event) {
  if (!held?.from) return;
  if (!held.isMoved && Math.hypot(event.clientX - held.from.x, event.clientY - held.from.y) < MEANT) return;
  held.isMoved = true;
  held.at = placeAt(event.clientX, event.clientY);
  tryIt();
}

/** @param {typeof table} given */
export function handOver(given) {
  table = given;
  onWayOut(takeUp);
  const sheet = byId("sheet");
  sheet.addEventListener("pointerdown", (event) => {
    const line = event.target;
    if (!(line instanceof SVGElement) || !line.classList.contains("edge") || event.button !== 0) return;
    event.preventDefault();
    line.focus({ preventScroll: true });
    if (held?.edge !== line.dataset.edge) takeHold(line);
    if (held) held.from = { x: event.clientX, y: event.clientY };
    sheet.setPointerCapture(event.pointerId);
  }, { capture: true });
  sheet.addEventListener("pointermove", moveTo);
  sheet.addEventListener("pointerup", () => {
    if (!held?.from) return;
    held.from = null;
    if (held.isMoved) keepIt();
  });
  sheet.addEventListener("pointercancel", () => letGo());
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") letGo();
    const line = event.target;
    if (!(line instanceof SVGElement) || !line.classList.contains("edge")) return;
    const by = event.shiftKey ? PRESSED_FINELY : PRESSED;
    /** @type {Record<string, [number, number]>} */
    const arrows = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] };
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      if (held?.edge === line.dataset.edge) keepIt();
      else takeHold(line);
    } else if (held?.edge === line.dataset.edge && held && arrows[event.key]) {
      event.preventDefault();
      const [x, y] = arrows[event.key];
      held.at = [held.at[0] + x, held.at[1] + y];
      held.isMoved = true;
      tryIt();
    }
  });
  byId("runs").addEventListener("change", () => held?.isMoved && tryIt());
  byId("let-go").addEventListener("click", keepIt);
  byId("drop").addEventListener("click", letGo);
}

/** Whether the hand holds nothing. */
export const isEmpty = () => held === null;
