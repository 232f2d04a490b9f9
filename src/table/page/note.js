// What is said beside the hand: what it is drawn to, and why something is refused, with the ways out.

import { seenAt } from "./ground.js";
import { byId, capital } from "./sentences.js";

/** How far from the hand the note stands, pixels: a finger does not cover it. */
const BESIDE = 24;

/** @typedef {import("./ask.js").Trial} Trial */

/** Says beside a place of the sheet what came of a trial there. @param {[number, number]} at @param {Trial} trial */
export function note(at, trial) {
  const made = byId("note");
  const holds = trial.holds ? [`It holds here, ${trial.holds}.`] : [];
  const says = [...new Set(trial.snaps.map((snap) => `${capital(snap.says)}.`))];
  const lines = [...holds, ...says].map((text) => Object.assign(document.createElement("p"), { textContent: text }));
  byId("note-says").replaceChildren(...lines);
  made.append(byId("why"));
  made.hidden = lines.length === 0 && trial.refused === null;
  if (made.hidden) return;
  const [x, y] = seenAt(at);
  const ground = byId("ground");
  const [left, top] = [x + BESIDE, y + BESIDE];
  const [right, below] = [ground.clientWidth - made.offsetWidth, ground.clientHeight - made.offsetHeight];
  // Where there is no room on the right or below it stands on the other side of the hand.
  made.style.left = `${Math.max(0, left <= right ? left : x - BESIDE - made.offsetWidth)}px`;
  made.style.top = `${Math.max(0, top <= below ? top : y - BESIDE - made.offsetHeight)}px`;
}

/** Takes the note away; what is refused is said where the sentences stand. */
export function hideNote() {
  byId("note").hidden = true;
  byId("held").after(byId("why"));
}
