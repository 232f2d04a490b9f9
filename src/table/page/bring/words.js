// What is asked of the server, and how what it refuses is said.

import { Refused, answered, sentenceOf } from "../ask.js";

/** A thing of the drawing. @typedef {"drawing" | { outline: string } | { edge: [string, number] } | { line: string } | { seam: number }} Thing */
/** @typedef {{ what: string, at?: string, "way-out"?: string }} Refusal */
/** @typedef {{ says: string, edit: object }} Answer */
/** @typedef {{ sentence: string, wrong: boolean, unsure: boolean, things: Thing[], answers: Answer[] }} Missing */
/** @typedef {{ thing: Thing, called: string, line: string }} Part */
/** @typedef {{ letter: string, called: string, paper: string, "is-piece": boolean, edges: Part[], lines: Part[] }} OutlineSeen */
/** @typedef {{ choice: string, says: string, line: string, dashes: number[], colour: string }} Size */
/** @typedef {{ revision: number, title: string, stage: string, says: { good: boolean | null, sentence: string }[], refused: Refusal | null, sizes: Size[], "can-leave-size": boolean, outlines: OutlineSeen[], labels: string, drawn: number, bounds: [number, number, number, number], missing: Missing[], twice: Missing[], "can-make": boolean, "can-undo": boolean, "can-do-again": boolean, outside: string | null, news: string | null }} BringSeen */
/** @typedef {{ says: string, value: string, edit: object }} Word */
/** @typedef {{ name: string, help: string, value: string, words: Word[], closed: boolean }} Field */
/** @typedef {{ says: string, tells: string[], offers: Answer[], fields: Field[] }} ThingSeen */

/** @param {string} id @returns {HTMLElement} */
export const byId = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

/** A refusal as one sentence with its capital. @param {Refusal} refusal */
export function sentence(refusal) {
  const said = sentenceOf(refusal);
  return `${said.charAt(0).toUpperCase()}${said.slice(1)}`;
}

/** @param {string} path @param {unknown} [wish] @returns {Promise<any>} */
export async function ask(path, wish) {
  const init = wish === undefined ? {} : { method: "POST", body: JSON.stringify(wish) };
  const answer = await answered(path, init);
  const isTold = answer.headers.get("content-type") === "application/json";
  if (!answer.ok) throw new Error(isTold ? `${sentence(await answer.json())}.` : (await answer.text()).trim());
  const told = await answer.json();
  if (told.refused?.what && !told.stage) throw new Error(`${sentence(told.refused)}.`);
  return told;
}

/** @param {unknown} error */
export function sayError(error) {
  byId("refused").textContent = error instanceof Refused ? `${sentence(error.refusal)}.` : error instanceof Error ? error.message : String(error);
}

/** @param {string} says @param {() => void} press */
export function button(says, press) {
  const made = Object.assign(document.createElement("button"), { textContent: says, type: "button" });
  made.addEventListener("click", press);
  return made;
}
