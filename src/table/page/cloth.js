// The cloth set by hand: its edges dragged on the strip, flaws drawn on it, numbers written, the corners of a photograph dragged on
// the photograph. What that means, and whether it may be so, the server says.

import * as ask from "./ask.js";
import { made, press, putAnew, row } from "./choices.js";
import { element, placeAt } from "./ground.js";
import { takeUp } from "./hand.js";
import * as photograph from "./photograph.js";
import { byId, forKeys, item, why } from "./sentences.js";

/** @typedef {{ number: number, lies: [number, number, number, number], says: string }} Flaw */
/** @typedef {{ number: number, copies: number, says: string }} Panels */
/** @typedef {{ name: string, fields: import("./ask.js").FormField[], lengths: [number, number, number, number][], flaws: Flaw[], panels: Panels[], pictures: import("./photograph.js").Photograph[] }} Cloth */
/** @typedef {{ says: string[], cloths: Cloth[], "can-take-back": boolean, "is-asked": boolean, "can-be-said": boolean }} Cloths */
/** @typedef {[number, number]} Place */

/** How far a press of an arrow key moves what is held, mm; and with the shift key. */
const [PRESSED, PRESSED_FINELY] = [10, 1];
/** The least size of a flaw that is drawn, mm. */
const LEAST_FLAW = 2;

/** @type {Cloths | null} */
let now = null;
/** @type {{ show: (seen: import("./ask.js").Seen) => void, revision: () => number }} */
let table;
/** The cloth on which a flaw is to be drawn, and where it was begun. @type {{ name: string, from: Place | null } | null} */
let drawing = null;
/** What is dragged, and where it was taken hold of. @type {{ line: SVGElement, from: Place } | null} */
let held = null;
let said = "";

/** Lets go of what is dragged of the cloth, where that is laid anew beneath it. */
export function letGo() {
  if (!held) return;
  held = null;
  byId("cloth-says").replaceChildren(item({ good: null, sentence: "The table was changed elsewhere: take hold of the cloth again." }));
}

/** @param {() => Promise<import("./ask.js").Seen>} what */
async function doIt(what) {
  held = null;
  drawing = null;
  try {
    table.show(await what());
    byId("cloth-says").replaceChildren();
  } catch (error) {
    byId("cloth-says").replaceChildren(item({ good: false, sentence: why(error) }));
    draw();
  }
}

/** @param {string} cloth @param {object} hand */
const byHand = (cloth, hand) => doIt(() => ask.clothHand(table.revision(), cloth, hand));

/** A line or a box on the strip that is taken hold of. @param {string} tag @param {Record<string, string>} about @param {string} says @param {Place} at @param {string} cloth @param {(line: SVGElement, by: Place) => void} showAt @param {(to: Place, by: Place) => object} keep */
function grip(tag, about, says, at, cloth, showAt, keep) {
  const line = element(tag, { ...about, tabindex: "0", role: "button", "aria-label": `${says}: drag it${forKeys(", or move it with the arrow keys; Enter keeps it, Escape leaves it")}` });
  /** @type {Place | null} */
  let by = null;
  /** @param {Place} from */
  const take = (from) => {
    by = by ?? [0, 0];
    held = { line, from };
    line.classList.add("held");
  };
  const leave = () => {
    by = null;
    held = null;
    draw();
  };
  const keepIt = () => {
    const moved = by;
    if (!moved || (moved[0] === 0 && moved[1] === 0)) leave();
    else byHand(cloth, keep([at[0] + moved[0], at[1] + moved[1]], moved));
  };
  line.addEventListener("pointerdown", (event) => {
    if (event.defaultPrevented || event.button !== 0 || drawing) return;
    event.preventDefault();
    line.focus({ preventScroll: true });
    line.setPointerCapture(event.pointerId);
    take(placeAt(event.clientX, event.clientY));
  });
  line.addEventListener("pointermove", (event) => {
    if (!held || held.line !== line || !line.hasPointerCapture(event.pointerId)) return;
    const [x, y] = placeAt(event.clientX, event.clientY);
    by = [x - held.from[0], y - held.from[1]];
    showAt(line, by);
  });
  line.addEventListener("pointerup", keepIt);
  line.addEventListener("pointercancel", leave);
  line.addEventListener("keydown", (event) => {
    const step = event.shiftKey ? PRESSED_FINELY : PRESSED;
    /** @type {Record<string, Place>} */
    const arrows = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] };
    const arrow = arrows[event.key];
    if (arrow) {
      if (!held) take(at);
      by = [(by?.[0] ?? 0) + arrow[0], (by?.[1] ?? 0) + arrow[1]];
      showAt(line, by);
    } else if (event.key === "Enter") {
      keepIt();
    } else if (event.key === "Escape") {
      leave();
    } else if (event.key === "Delete" && "flaw" in line.dataset) {
      byHand(cloth, { "no-flaw": { number: Number(line.dataset.flaw) } });
    } else {
      return;
    }
    event.preventDefault();
  });
  return line;
}

/** @param {SVGElement} line @param {Place} by */
const shifted = (line, by) => line.setAttribute("transform", `translate(${by.join(" ")})`);

/** What of a cloth can be taken hold of on the strip. @param {Cloth} cloth */
function grips(cloth) {
  const edges = cloth.lengths.flatMap(([x, y, width, height], on) => [
    grip("path", { class: "cloth-edge", d: `M${x + width} ${y}v${height}` }, `The right edge of ${cloth.name}`, [x + width, y + height / 2], cloth.name, (line, by) => shifted(line, [by[0], 0]), (at) => ({ width: { on, at } })),
    grip("path", { class: "cloth-edge", d: `M${x} ${y + height}h${width}` }, `The end of ${cloth.name}`, [x + width / 2, y + height], cloth.name, (line, by) => shifted(line, [0, by[1]]), (at) => ({ length: { on, at } })),
  ]);
  const flaws = cloth.flaws.map(({ number, lies: [x, y, width, height], says }) => {
    const box = { class: "cloth-flaw", x: String(x), y: String(y), width: String(width), height: String(height), "data-flaw": String(number) };
    return grip("rect", box, `${says}${forKeys("; Delete takes it away")}`, [x, y], cloth.name, shifted, (_, by) => ({ flaw: { number, by } }));
  });
  return [...edges, ...flaws];
}

/** Draws what can be taken hold of on the strip. */
export function draw() {
  document.getElementById("cloth-grips")?.replaceChildren(...(now?.cloths ?? []).flatMap(grips));
}

/** Begins a flaw that is drawn from corner to corner. @param {string} name */
function drawFlaw(name) {
  drawing = { name, from: null };
  const says = item({ good: null, sentence: "Draw it on the strip of cloth, from corner to corner. " });
  says.append(press("Leave it", leaveFlaw));
  byId("cloth-says").replaceChildren(says);
}

/** Draws no flaw after all. */
function leaveFlaw() {
  if (!drawing) return;
  drawing = null;
  document.getElementById("drawn")?.replaceChildren();
  byId("cloth-says").replaceChildren();
}

/** @param {PointerEvent} event */
function flawBegins(event) {
  if (!drawing || event.button !== 0) return;
  event.preventDefault();
  event.stopPropagation();
  drawing.from = placeAt(event.clientX, event.clientY);
  byId("sheet").setPointerCapture(event.pointerId);
}

/** @param {PointerEvent} event */
function flawGrows(event) {
  if (!drawing?.from) return;
  const [[x0, y0], [x1, y1]] = [drawing.from, placeAt(event.clientX, event.clientY)];
  const box = { class: "cloth-flaw held", x: String(Math.min(x0, x1)), y: String(Math.min(y0, y1)), width: String(Math.abs(x1 - x0)), height: String(Math.abs(y1 - y0)) };
  document.getElementById("drawn")?.replaceChildren(element("rect", box));
}

/** @param {PointerEvent} event */
function flawEnds(event) {
  if (!drawing?.from) return;
  const { name, from } = drawing;
  const to = placeAt(event.clientX, event.clientY);
  document.getElementById("drawn")?.replaceChildren();
  if (Math.abs(to[0] - from[0]) < LEAST_FLAW || Math.abs(to[1] - from[1]) < LEAST_FLAW) drawing.from = null;
  else byHand(name, { "new-flaw": { from, to } });
}

/** Panels that lie there: how many, which can be changed, and a press that takes them away. @param {Panels} panels */
function panelsShown({ number, copies, says }) {
  const keep = (/** @type {number} */ many) => doIt(() => ask.panelCopies(table.revision(), number, many));
  const input = made("input", { id: `cloth-panels-${number}`, type: "text", inputMode: "numeric", autocomplete: "off", value: String(copies) });
  input.setAttribute("aria-label", `How many ${says}`);
  input.addEventListener("change", () => keep(Number.parseInt(input.value, 10) || copies));
  const away = press("Take them away", () => keep(0), `cloth-no-panels-${number}`);
  away.setAttribute("aria-label", `Take them away: ${copies} ${says}`);
  return made("li", { className: "panels" }, input, ` ${says}. `, away);
}

/** The fields of a cloth; each says what it says as soon as it is filled in. @param {Cloth} cloth */
function shown(cloth) {
  const fields = cloth.fields.map((field) => {
    const line = row(field, `cloth-${cloth.name}`);
    const input = /** @type {HTMLInputElement} */ (line.querySelector("input, select"));
    input.addEventListener("change", () => doIt(() => ask.clothSays(table.revision(), cloth.name, field.name, input.value)));
    return line;
  });
  const more = folded(`cloth-all-${cloth.name}`, `All that is said of ${cloth.name}`, fields.slice(2));
  const form = made("form", { className: "choices", autocomplete: "off" }, made("h3", {}, cloth.name), ...fields.slice(0, 2), more);
  form.addEventListener("submit", (event) => event.preventDefault());
  const flaws = cloth.flaws.map((flaw) => {
    const away = press("Take it away", () => byHand(cloth.name, { "no-flaw": { number: flaw.number } }), `cloth-no-flaw-${cloth.name}-${flaw.number}`);
    away.setAttribute("aria-label", `Take it away: ${flaw.says}`);
    return made("li", {}, `A ${flaw.says}. `, away);
  });
  const draws = cloth.lengths.length > 0 ? [made("p", {}, press("Draw a flaw", () => drawFlaw(cloth.name), `cloth-draw-${cloth.name}`), photograph.adds(cloth))] : [];
  return made("div", {}, form, made("ul", {}, ...flaws, ...cloth.panels.map(panelsShown)), ...photograph.photographs(cloth), ...draws);
}

/** What is folded away under what it says. @param {string} id @param {string} says @param {Node[]} inside */
function folded(id, says, inside) {
  return made("details", { id, className: "more" }, made("summary", { id: `${id}-says` }, says), ...inside);
}

/** A form of some fields, whose button does something with what stands in them; once that is done they are as before. @param {string} does @param {{ name: string, called: string, usual?: string, help?: string }[]} fields @param {(said: Record<string, string>) => Promise<import("./ask.js").Seen>} then */
function begun(does, fields, then) {
  const inputs = fields.map(({ name, usual = "", help = "" }) => made("input", { id: `cloth-new-${name}`, className: "unsaid", name, type: "text", autocomplete: "off", required: true, defaultValue: usual, placeholder: help }));
  const lines = fields.map(({ called }, i) => made("p", {}, made("label", { htmlFor: inputs[i].id }, called), inputs[i]));
  const form = made("form", { className: "choices", autocomplete: "off" }, ...lines, made("button", { type: "submit", id: `cloth-new-${fields[0].name}-does` }, does));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    doIt(async () => {
      const seen = await then(Object.fromEntries(inputs.map((input) => [input.name, input.value.trim()])));
      form.reset();
      return seen;
    });
  });
  return form;
}

/** More cloth: another one beside those that lie there, or a garment that was taken apart. @param {string[]} names */
function moreCloth(names) {
  const other = begun("Lay it out", [{ name: "name", called: "Its name, by which pieces are cut from it", usual: names.includes("companion") ? "" : "companion" }, { name: "size", called: "Its width and its length: 110cm x 1.5m" }], ({ name, size }) => ask.otherCloth(table.revision(), name, size));
  const panels = begun("Lay them out", [{ name: "cloth", called: "Of which cloth they are", usual: names[0] ?? "main" }, { name: "copies", called: "How many are alike", usual: "6" }, { name: "length", called: "How long each is" }, { name: "top", called: "How wide each is at its top" }, { name: "bottom", called: "How wide each is at its bottom" }], ({ cloth, copies, length, top, bottom }) => ask.panels(table.revision(), { cloth, copies: Number.parseInt(copies, 10) || 0, length, top, bottom }));
  const beside = names.length > 0 ? [folded("cloth-other", "Another cloth, beside this", [other])] : [];
  return [...beside, folded("cloth-panels", "Panels of a garment that was taken apart", [panels])];
}

/** Asks for the size of the cloth where none is said. */
const asked = () => begun("Lay it out", [{ name: "size", called: "The cloth at hand: its width and its length", help: "37cm x 11.4m" }], ({ size }) => ask.clothSize(table.revision(), size));

/** What a press in the hand can say of the piece that is held: that it is cut from other cloth. @param {unknown} thing */
export function offerCloth(thing) {
  const at = byId("cloth-here");
  at.replaceChildren();
  if (typeof thing !== "object" || thing === null || !("piece" in thing)) return;
  const { piece } = thing;
  const own = /** @type {SVGElement | null} */ (document.querySelector(`#sheet > .piece[data-name="${CSS.escape(String(piece))}"]`))?.dataset.cloth;
  const others = (now?.cloths ?? []).map(({ name }) => name).filter((name) => name !== own);
  at.replaceChildren(...others.map((cloth) => press(`Cut it from ${cloth}`, () => takeUp({ says: `Cut ${piece} from ${cloth}`, step: { do: "set-piece", piece, cloth }, asks: false }))));
}

/** @param {Cloths} cloths */
function show(cloths) {
  now = cloths;
  draw();
  const text = JSON.stringify(cloths);
  if (text === said) return;
  said = text;
  const back = cloths["can-take-back"] ? [press("Take the last change of the cloth back", () => doIt(() => ask.takeClothBack(table.revision())), "cloth-back")] : [];
  const says = cloths.says.map((sentence) => made("p", { className: "help" }, sentence));
  const more = cloths["can-be-said"] ? moreCloth(cloths.cloths.map(({ name }) => name)) : [];
  putAnew(byId("cloths"), [...says, ...(cloths["is-asked"] ? [asked()] : cloths.cloths.map(shown)), ...more, ...back]);
  photograph.seeAgain();
}

/** Looks what is said of the cloth. */
export async function look() {
  if (held) return;
  try {
    const cloths = await ask.cloths();
    // What was taken into the hand meanwhile stays there.
    if (!held) show(cloths);
  } catch (error) {
    byId("cloth-says").replaceChildren(item({ good: false, sentence: why(error) }));
  }
}

/** @param {typeof table} given */
export async function begin(given) {
  table = given;
  photograph.begin({ ...given, byHand, cloths: () => now?.cloths ?? [] });
  const sheet = byId("sheet");
  sheet.addEventListener("pointerdown", flawBegins, { capture: true });
  sheet.addEventListener("pointermove", flawGrows);
  sheet.addEventListener("pointerup", flawEnds);
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") leaveFlaw();
  });
  await look();
}
