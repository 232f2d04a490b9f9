// Ways that make the pattern fit: searched for beside the table, side by side as small pictures, taken at a press; and what is
// not wanted of them, said by pressing pieces and seams.

import * as ask from "./ask.js";
import { made, press, rows, said } from "./choices.js";
import { drawn, element } from "./ground.js";
import { byId, item, why } from "./sentences.js";

/** @typedef {{ id: number, "is-best": boolean, sentence: string, figures: string[], untrue: string | null, drawing: string, view: [number, number, number, number] }} Way */
/** @typedef {{ name: string, help: string, value: string }} Limit */
/** @typedef {{ "is-running": boolean, says: import("./ask.js").Line[], ways: Way[], "can-be-taken": boolean, taste: Limit[] }} Plan */

/** How often is asked how far a search has come, ms. */
const ASKED = 700;
/** What a press on a thing can say of taste: which limit it is, and in which words. @type {Record<string, { name: string, on: string, off: string }>} */
const LIMITS = {
  piece: { name: "whole", on: "It stays whole, whatever is planned", off: "It may be cut up again in a plan" },
  edge: { name: "stay", on: "This seam stays where it is, whatever is planned", off: "This seam may be moved again in a plan" },
};

/** @type {Plan | null} */
let now = null;
/** @type {{ show: (seen: import("./ask.js").Seen) => void, revision: () => number }} */
let table;
let isAsked = false;
/** How many ways were found when they were drawn last, and of what. */
let drawnAs = "";

/** @param {Way} way @param {number} number */
function wayItem(way, number) {
  const picture = element("svg", { viewBox: way.view.join(" "), role: "img", "aria-label": `The pieces of way ${number}` });
  picture.append(drawn(way.drawing));
  const figures = made("ul", {}, ...way.figures.map((text) => made("li", {}, text)));
  const layout = made("a", { href: `/plan/layout/${way.id}`, target: "_blank", rel: "noopener" }, made("img", { src: `/plan/layout/${way.id}?${drawnAs}`, alt: `How the pieces of way ${number} lie on the cloth` }));
  const take = press("Take this one", () => doIt(async () => table.show(await ask.takeWay(table.revision(), way.id))));
  take.setAttribute("aria-label", `Take this one: way ${number}`);
  take.disabled = !now?.["can-be-taken"];
  const best = way["is-best"] ? [made("p", { className: "good" }, "The best of these")] : [];
  const untrue = way.untrue ? [made("p", { className: "bad" }, `Not true: ${way.untrue}`)] : [];
  return made("li", {}, made("p", {}, `${number}. ${way.sentence}`), ...best, ...untrue, made("div", { className: "pictures" }, picture, layout), figures, take);
}

/** @param {Plan} plan */
function show(plan) {
  now = plan;
  byId("plan-says").replaceChildren(...plan.says.map(item));
  const as = `${plan.ways.map((way) => `${way.id}${way["is-best"]}${way.figures.join()}`).join()}${plan["can-be-taken"]}`;
  if (as !== drawnAs) {
    drawnAs = String(as.length + plan.ways.length);
    byId("ways-found").replaceChildren(...plan.ways.map((way, i) => wayItem(way, i + 1)));
    drawnAs = as;
  }
  byId("plan-stop").hidden = !plan["is-running"];
  byId("plan-go").hidden = plan["is-running"];
  sayTaste(plan.taste);
  if (plan["is-running"]) askAgain();
}

/** Says what is not wanted, with a press that lets each go. @param {Limit[]} taste */
function sayTaste(taste) {
  const limits = taste.flatMap((limit) => values(limit).map((value) => ({ limit, value })));
  const words = (/** @type {string} */ name) => ({ whole: "stays whole", stay: "stays where it is" })[name];
  const items = limits.map(({ limit, value }) => {
    const free = press("Let it go", () => setTaste(limit.name, value));
    free.setAttribute("aria-label", `Let it go: ${value}, ${limit.name.replaceAll("-", " ")}`);
    return made("li", {}, words(limit.name) ? `${value} ${words(limit.name)}. ` : `${limit.help}: ${value}. `, free);
  });
  byId("taste").replaceChildren(...items);
}

/** @param {Limit} limit */
const values = (limit) => limit.value.split(",").map((one) => one.trim()).filter((one) => one !== "");

/** Says something of taste, or lets it go where it is said. @param {string} name @param {string} value */
async function setTaste(name, value) {
  const all = Object.fromEntries((now?.taste ?? []).map((limit) => [limit.name, values(limit)]));
  const are = all[name] ?? [];
  all[name] = are.includes(value) ? are.filter((one) => one !== value) : [...are, value];
  await doIt(async () => show(await ask.setTaste(Object.fromEntries(Object.entries(all).map(([key, list]) => [key, list.join(", ")])))));
}

/** What a press in the hand can say of taste of the thing that is held. @param {unknown} thing */
export function offerTaste(thing) {
  const at = byId("taste-here");
  at.replaceChildren();
  if (typeof thing !== "object" || thing === null) return;
  const [[sort, value]] = Object.entries(thing);
  const limit = LIMITS[sort];
  if (!limit || typeof value !== "string") return;
  const is = (now?.taste ?? []).some((one) => one.name === limit.name && values(one).includes(value));
  const button = press(is ? limit.off : limit.on, async () => {
    await setTaste(limit.name, value);
    offerTaste(thing);
    /** @type {HTMLElement | null} */ (at.querySelector("button"))?.focus();
  });
  at.replaceChildren(button);
}

function askAgain() {
  if (isAsked) return;
  isAsked = true;
  setTimeout(async () => {
    isAsked = false;
    await look();
  }, ASKED);
}

/** Looks what was found. */
export async function look() {
  try {
    show(await ask.plan());
  } catch (error) {
    sayWrong(error);
  }
}

/** @param {unknown} error */
const sayWrong = (error) => byId("plan-says").replaceChildren(item({ good: false, sentence: why(error) }));

/** @param {() => Promise<void>} what */
async function doIt(what) {
  try {
    await what();
  } catch (error) {
    sayWrong(error);
  }
}

/** Lays out what is chosen of a search. @param {typeof table} given */
export async function begin(given) {
  table = given;
  const fields = await ask.planForm();
  const form = /** @type {HTMLFormElement} */ (byId("plan-form"));
  form.replaceChildren(...rows(fields, "plan", { seldom: ask.SEARCH }));
  form.addEventListener("submit", (event) => event.preventDefault());
  byId("plan-go").addEventListener("click", () => doIt(async () => show(await ask.beginPlan(said(form, fields)))));
  byId("plan-stop").addEventListener("click", () => doIt(async () => show(await ask.stopPlan())));
  await look();
}
