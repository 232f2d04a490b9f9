// What is asked of the server. It alone reckons.

/** A way out; one that asks is taken by its form. @typedef {{ says: string, step: object, asks: boolean }} Press */
/** @typedef {{ good: boolean | null, sentence: string, at?: string[], presses?: Press[] }} Line */
/** @typedef {{ what: string, at?: string, "way-out"?: string, presses?: Press[], unsaid?: boolean }} Refusal */
/** @typedef {{ fits: Line, "is-true": Line, "same-size": Line, findings: Line[] }} Verdicts */
/** @typedef {{ name: string, called: string, line: string, "sewn-to": string[], middle: [number, number], ways: Way[] }} Edge */
/** @typedef {{ thing: unknown, called: string, line: string }} Mark */
/** What a hand may do with what it holds; with the line that it begins with, where it draws one. @typedef {{ way: string, says: string, line: [[number, number], [number, number]] | null }} Way */
/** @typedef {{ grip: object, thing: unknown, called: string, at: [number, number], ways: Way[] }} Grip */
/** @typedef {{ name: string, cloth: string, drawing: string, paper: string, fit: Line | null, "fit-word": string, foot: [number, number], reach: [number, number], shift: [number, number], edges: Edge[], marks: Mark[], grips: Grip[], ways: Way[] }} Piece */
/** @typedef {{ level: string, now: string, change: Line }} Girth */
/** @typedef {{ number: number, sentence: string, "left-out": boolean, reason: string | null, refused: Refusal | null, told: Line[] }} Step */
/** @typedef {{ called: string, drawing: string }} Cloth */
/** What may be shown, each left, top, width, height, mm. @typedef {{ first: [number, number, number, number], whole: [number, number, number, number] }} Views */
/** @typedef {{ revision: number, title: string, verdicts: Verdicts, pieces: Piece[], cloths: Cloth[], views: Views, girths: Girth[], steps: Step[], "can-undo": boolean, "can-do-again": boolean, outside: { sentence: string, "can-be-put-aside": boolean } | null, news: string | null }} Seen */
/** @typedef {{ sentence: string | null, recipe: string | null, holds: string | null, "holds-well": boolean | null, snaps: Snap[], drawn: string, places: Place[], refused: Refusal | null, pieces: Piece[], gone: string[], seams: Line[], told: Line[], girths: Girth[], verdicts: Verdicts | null }} Trial */
/** @typedef {{ says: string, at: [number, number] }} Snap */
/** @typedef {{ field: string, number: number, piece: string, says: string, at: [number, number] }} Place */
/** @typedef {{ holds: object, from: [number, number], at: [number, number], trail: [number, number][], way: string | null, reach: number }} Hand */
/** @typedef {{ hand: Hand } | { step: object }} Wish */
/** What lies there before a step. @typedef {{ pieces: Piece[], cloths: Cloth[], views: Views }} Lying */

/** @typedef {"end" | { before: number } | { "in-place-of": number }} At */
/** @typedef {{ says: string, own: boolean, begins: "edge" | "dart" | "piece" | "pattern", step: object }} Offer */
/** @typedef {{ name: string, called: string, help: string, needed: boolean, sort: string, value: string, now?: string, words: string[], closed: boolean }} FormField */
/** @typedef {{ says: string, do: string, fields: FormField[] }} Form */

/** The fields of how a search goes, of which only who wants the same found again has need. */
export const SEARCH = ["iterations", "seed"];

/** Tells this page from others of the same table. */
const PAGE = crypto.getRandomValues(new Uint32Array(1))[0];
let trials = 0;

/** A refusal as one sentence. @param {Refusal} refusal */
export function sentenceOf(refusal) {
  const place = refusal.at ? `${refusal.at}: ` : "";
  return refusal["way-out"] ? `${place}${refusal.what}; ${refusal["way-out"]}` : `${place}${refusal.what}`;
}

/** What the server refuses, in its words. */
export class Refused extends Error {
  /** @param {Refusal} refusal */
  constructor(refusal) {
    super(sentenceOf(refusal));
    this.refusal = refusal;
  }
}

/** What is said where nobody answers: the table has ended. */
const UNANSWERED = { what: "The table does not answer", "way-out": "what was kept is kept: start retrue table again and open its new address" };

/** What the server answers. @param {string} path @param {RequestInit} [init] */
export const answered = (path, init) =>
  fetch(path, init).catch(() => {
    throw new Refused(UNANSWERED);
  });

/**
 * @param {string} path
 * @param {unknown} [wish]
 * @returns {Promise<any>} nothing where a newer wish took the place of this one
 */
async function ask(path, wish) {
  const body = wish instanceof Blob ? wish : JSON.stringify(wish);
  const answer = await answered(path, wish === undefined ? {} : { method: "POST", body });
  if (answer.status === 204) return null;
  const isTold = answer.headers.get("content-type") === "application/json";
  if (!answer.ok) throw new Refused(isTold ? await answer.json() : { what: (await answer.text()).trim() });
  const told = await answer.json();
  if (told.refused && path !== "/try") throw new Refused(told.refused);
  return told;
}

/** @returns {Promise<Seen>} */
export const seen = () => ask("/seen");

/** What the table is seen as now, and whether something runs beside it. @returns {Promise<{ revision: number, files: number, "is-busy": boolean }>} */
export const revision = () => ask("/revision");

/** What can be done with a thing. @param {unknown} thing @param {At} at @returns {Promise<Offer[]>} */
export const offers = (thing, at) => ask("/offers", { thing, at });

/** @param {object | null} step @param {At} at @returns {Promise<Form>} */
export const form = (step, at) => ask("/form", { step, at });

/** What of a field a place fills in. @typedef {"place" | { after: string } | { "in-place-of": [string, number] }} Fills */

/** A place that is pointed at. @param {{ piece: string, at: [number, number], reach: number, fills: Fills }} pointing @param {At} at @returns {Promise<{ value: string, says: string }>} */
export const place = (pointing, at) => ask("/place", { pointing, at });

/** What lies there where a step is meant. @param {At} at @returns {Promise<Lying>} */
export const lying = (at) => ask("/lying", { at });

/** @param {Wish} wish @param {At} at @returns {Promise<Trial | null>} */
export const tried = (wish, at) => ask("/try", { page: PAGE, number: ++trials, wish, at });

/** @param {number} since what the page has seen @param {Wish} wish @param {At} at @returns {Promise<Seen>} */
export const keep = (since, wish, at) => ask("/keep", { revision: since, wish, at });

/** @param {"/undo" | "/again" | "/aside"} path @param {number} since what the page has seen @returns {Promise<Seen>} */
export const change = (path, since) => ask(path, { revision: since });

/** @param {number} since what the page has seen @param {number} number @param {boolean} leftOut @returns {Promise<Seen>} */
export const turn = (since, number, leftOut) => ask("/turn", { revision: since, number, "left-out": leftOut });

/** @returns {Promise<{ files: { file: string, says: string }[], told: Line[] }>} */
export const saved = () => ask("/saved");

/** @returns {Promise<{ bar: string, fields: FormField[] }>} */
export const paperForm = () => ask("/paper");

/** @param {Record<string, string>} said @param {string[]} bars what the bars measured, across and down */
export const paper = (said, bars) => ask("/paper", { said, bars });

export const report = () => ask("/report", {});

/** @returns {Promise<import("./lay.js").Layout>} */
export const layout = () => ask("/lay");

/** @returns {Promise<FormField[]>} */
export const layForm = () => ask("/lay/form");

/** @param {Record<string, string>} said @returns {Promise<import("./lay.js").Layout>} */
export const beginLay = (said) => ask("/lay/begin", { said });

/** @returns {Promise<import("./lay.js").Layout>} */
export const stopLay = () => ask("/lay/stop", {});

/** @param {number} number which layout lies there @returns {Promise<import("./lay.js").Layout>} */
export const takeMoveBack = (number) => ask("/lay/back", { layout: number });

/** @typedef {{ copy: number, at: [number, number], turn: "none" | "next" }} CopyInHand */

/** @param {CopyInHand} hand @returns {Promise<{ copy: import("./lay.js").Copy, told: Line[] } | null>} */
export const tryCopy = (hand) => ask("/lay/try", { page: PAGE, number: ++trials, hand });

/** @param {number} since what the page has seen @param {number} number which layout lies there @param {CopyInHand} hand @returns {Promise<import("./lay.js").Layout>} */
export const keepCopy = (since, number, hand) => ask("/lay/keep", { revision: since, layout: number, hand });

/** @returns {Promise<import("./plan.js").Plan>} */
export const plan = () => ask("/plan");

/** @returns {Promise<FormField[]>} */
export const planForm = () => ask("/plan/form");

/** @param {Record<string, string>} said @returns {Promise<import("./plan.js").Plan>} */
export const beginPlan = (said) => ask("/plan/begin", { said });

/** @returns {Promise<import("./plan.js").Plan>} */
export const stopPlan = () => ask("/plan/stop", {});

/** @param {number} since what the page has seen @param {number} number which, by its own number @returns {Promise<Seen>} */
export const takeWay = (since, number) => ask("/plan/take", { revision: since, number });

/** @param {Record<string, string>} said @returns {Promise<import("./plan.js").Plan>} */
export const setTaste = (said) => ask("/plan/taste", { said });

/** @returns {Promise<import("./cloth.js").Cloths>} */
export const cloths = () => ask("/cloth");

/** @param {number} since what the page has seen @param {string} cloth @param {string} field @param {string} value @returns {Promise<Seen>} */
export const clothSays = (since, cloth, field, value) => ask("/cloth/say", { revision: since, cloth, field, value });

/** @param {number} since what the page has seen @param {string} size @returns {Promise<Seen>} */
export const clothSize = (since, size) => ask("/cloth/size", { revision: since, size });

/** @param {number} since what the page has seen @param {string} cloth its name @param {string} size @returns {Promise<Seen>} */
export const otherCloth = (since, cloth, size) => ask("/cloth/other", { revision: since, cloth, size });

/** @param {number} since what the page has seen @param {{ cloth: string, copies: number, top: string, bottom: string, length: string }} alike @returns {Promise<Seen>} */
export const panels = (since, alike) => ask("/cloth/panels", { revision: since, panels: alike });

/** @param {number} since what the page has seen @param {number} number which, of all panels @param {number} copies how many there are; none takes them away @returns {Promise<Seen>} */
export const panelCopies = (since, number, copies) => ask("/cloth/panel-copies", { revision: since, number, copies });

/** @param {number} since what the page has seen @param {string} cloth @param {object} hand @returns {Promise<Seen>} */
export const clothHand = (since, cloth, hand) => ask("/cloth/hand", { revision: since, cloth, hand });

/** @param {number} since what the page has seen @param {{ cloth: string, on: number, from: string, to: string, corners: [number, number][] }} said @param {File} file @returns {Promise<Seen>} */
export const photograph = (since, said, file) => ask("/cloth/photograph", new Blob([JSON.stringify({ revision: since, ...said }), "\n", file]));

/** @param {number} since what the page has seen @returns {Promise<Seen>} */
export const takeClothBack = (since) => ask("/cloth/back", { revision: since });
/** Whether the pattern was brought in from a drawing that can be gone back to. */
export const isBroughtIn = async () => (await ask("/bring/there")).there;
