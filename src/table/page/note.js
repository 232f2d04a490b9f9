// What is said beside the hand, in few words: what it is drawn to, and that it cannot be there. At length it is said where the
// sentences stand.

import { seenAt } from "./ground.js";
import { byId, capital } from "./sentences.js";

/** How far from the hand the note stands, pixels: a finger does not cover it. */
const BESIDE = 24;

/** How far from the hand, pixels, a note may rather stand than hide as much of the pieces as it is large. */
const HIDDEN = 500;

/** @typedef {import("./ask.js").Trial} Trial */

/** Says beside a place of the sheet what came of a trial there. @param {[number, number]} at @param {Trial} trial */
export function note(at, trial) {
  const made = byId("note");
  const holds = trial.holds ? [`It holds here, ${trial.holds}.`] : [];
  const says = [...new Set(trial.snaps.map((snap) => `${capital(snap.says)}.`))];
  const lines = [...holds, ...says].map((text) => Object.assign(document.createElement("p"), { textContent: text }));
  byId("note-says").replaceChildren(...lines);
  byId("note-refused").textContent = trial.refused && !trial.refused.unsaid ? "It cannot be here." : "";
  made.hidden = lines.length === 0 && byId("note-refused").textContent === "";
  if (made.hidden) return;
  const [x, y] = seenAt(at);
  const ground = byId("ground");
  const [right, below] = [ground.clientWidth - made.offsetWidth, ground.clientHeight - made.offsetHeight];
  const across = [x + BESIDE, x - BESIDE - made.offsetWidth, 0, right];
  const down = [y + BESIDE, y - BESIDE - made.offsetHeight, 0, below];
  const places = across.flatMap((left) => down.map((top) => /** @type {[number, number]} */ ([left, top])));
  const within = places.filter(([left, top]) => left >= 0 && top >= 0 && left <= right && top <= below);
  const [at0, at1] = best(within, made, [x, y]) ?? [0, 0];
  made.style.left = `${at0}px`;
  made.style.top = `${at1}px`;
}

/** Of places for a note that where it hides least of the pieces; of those that hide as little the nearest to the hand, and never the hand itself. @param {[number, number][]} places @param {HTMLElement} made @param {[number, number]} hand */
function best(places, made, [x, y]) {
  const ground = byId("ground").getBoundingClientRect();
  const pieces = [...document.querySelectorAll("#sheet > .piece:not(.under) > .paper, #trial .paper")].map((piece) => piece.getBoundingClientRect());
  const [width, height] = [made.offsetWidth, made.offsetHeight];
  const shared = (/** @type {number} */ a0, /** @type {number} */ a1, /** @type {number} */ b0, /** @type {number} */ b1) => Math.max(0, Math.min(a1, b1) - Math.max(a0, b0));
  const hides = (/** @type {[number, number]} */ [left, top]) => {
    const [x0, y0] = [left + ground.x, top + ground.y];
    return pieces.reduce((sum, box) => sum + shared(x0, x0 + width, box.left, box.right) * shared(y0, y0 + height, box.top, box.bottom), 0);
  };
  const away = (/** @type {[number, number]} */ [left, top]) => Math.hypot(left + width / 2 - x, top + height / 2 - y);
  const isClear = (/** @type {[number, number]} */ [left, top]) => x < left || x > left + width || y < top || y > top + height;
  const rated = places.filter(isClear).map((place) => ({ place, hides: hides(place) / (width * height), away: away(place) }));
  rated.sort((a, b) => a.hides * HIDDEN + a.away - (b.hides * HIDDEN + b.away));
  return rated[0]?.place;
}

/** Takes the note away. */
export const hideNote = () => void (byId("note").hidden = true);
