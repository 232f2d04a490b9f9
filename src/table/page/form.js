// What can be done with a thing, and the fields of that: as the server says.

import * as ask from "./ask.js";
import { byId, capital, sayError } from "./sentences.js";

/** @typedef {import("./ask.js").Offer} Offer */
/** @typedef {import("./ask.js").Form} Form */
/** @typedef {import("./ask.js").FormField} FormField */
/** @typedef {import("./ask.js").At} At */
/** @typedef {Record<string, string>} Fields */

/** What is done when a field has changed, or the form is to be kept. @type {{ changed: () => void, keep: () => void }} */
let hand = { changed: () => {}, keep: () => {} };
/** The form that is open, and where in the recipe its step is meant. @type {{ form: Form, at: At } | null} */
let open = null;
/** The field that a press on the pieces fills in. @type {{ sort: string, input: HTMLInputElement, said: HTMLElement } | null} */
let pointed = null;
/** How often offers or forms were asked for: an older answer is dropped. */
let asked = 0;

/** @template {keyof HTMLElementTagNameMap} T @param {T} tag @param {string} text @param {string} [name] */
function made(tag, text, name) {
  return Object.assign(document.createElement(tag), { textContent: text, className: name ?? "" });
}

/** @param {Offer} offer @param {At} at */
function offerItem(offer, at) {
  const item = document.createElement("li");
  const button = made("button", offer.says);
  button.addEventListener("click", () => openForm(offer.step, at));
  item.append(button);
  return item;
}

/** From how many sentences on they are put together by what one takes hold of; and how many of what is in the hand are not folded away. */
const [GROUPED, FEW] = [8, 6];
/** @type {[Offer["begins"], string][]} */
const GROUPS = [["edge", "With a seam or an edge"], ["piece", "With a piece"], ["dart", "With a dart"], ["pattern", "With all of it"]];

/** @param {Offer[]} offers @param {At} at */
function grouped(offers, at) {
  return GROUPS.flatMap(([begins, says]) => {
    const here = offers.filter((offer) => offer.begins === begins);
    if (here.length === 0) return [];
    const group = document.createElement("li");
    const list = document.createElement("ul");
    list.append(...here.map((offer) => offerItem(offer, at)));
    group.append(made("h3", says), list);
    return [group];
  });
}

/** Says what can be done with a thing. @param {unknown} thing @param {At} at */
export async function sayOffers(thing, at) {
  asked += 1;
  const mine = asked;
  try {
    const offers = await ask.offers(thing, at);
    if (mine !== asked) return;
    const own = offers.filter((offer) => offer.own);
    const isAll = thing === "pattern" || own.length <= FEW;
    const [here, more] = isAll ? [own, []] : [own.slice(0, FEW), own.slice(FEW)];
    const items = (/** @type {Offer[]} */ some) => (some.length > GROUPED ? grouped(some, at) : some.map((offer) => offerItem(offer, at)));
    byId("own-offers").replaceChildren(...items(here));
    byId("other-offers").replaceChildren(...items([...more, ...offers.filter((offer) => !offer.own)]));
    /** @type {HTMLDetailsElement} */ (byId("more-offers")).open = own.length === 0;
    byId("offers").hidden = false;
  } catch (error) {
    sayError(error);
  }
}

/** Opens the form of a step; of the one that is there where none is given. @param {object | null} given @param {At} at @param {"anew" | "first"} [how] */
export async function openForm(given, at, how = "first") {
  asked += 1;
  const mine = asked;
  try {
    const form = await ask.form(given, at);
    if (mine !== asked) return;
    // What was written while the answer was under way stays.
    const written = how === "anew" ? step() : null;
    if (written) for (const field of form.fields) field.value = written[field.name] ?? "";
    open = { form, at };
    pointed = null;
    byId("offers").hidden = true;
    byId("form-says").textContent = `${form.says}.`;
    const was = how === "anew" ? document.activeElement : null;
    const [needed, other] = [true, false].map((is) => form.fields.filter((field) => field.needed === is).map(fieldShown));
    byId("needed").replaceChildren(...needed);
    byId("other").replaceChildren(...other);
    byId("more").hidden = other.length === 0;
    /** @type {HTMLDetailsElement} */ (byId("more")).open =
      needed.length === 0 || form.fields.some((field) => !field.needed && field.value !== "");
    byId("form").hidden = false;
    const inputs = /** @type {HTMLInputElement[]} */ ([...byId("form").querySelectorAll("input, select")]);
    if (!writesOn(was)) (inputs.find((input) => input.required && input.value === "") ?? inputs[0])?.focus();
    hand.changed();
  } catch (error) {
    sayError(error);
  }
}

/** Goes on where the hand is writing when its field is made anew: at the same place of it. Whether it was in one that is there. @param {Element | null} was */
function writesOn(was) {
  const now = was?.id.startsWith("field-") ? document.getElementById(was.id) : null;
  now?.focus();
  if (was instanceof HTMLInputElement && now instanceof HTMLInputElement) now.setSelectionRange(was.selectionStart, was.selectionEnd);
  return now !== null;
}

/** @param {FormField} field */
function fieldShown(field) {
  const row = document.createElement("p");
  const label = made("label", field.called);
  const input = field.closed ? document.createElement("select") : document.createElement("input");
  input.id = `field-${field.name}`;
  input.name = field.name;
  input.required = field.needed;
  label.htmlFor = input.id;
  const help = made("span", field.help, "help");
  help.id = `help-${field.name}`;
  input.setAttribute("aria-describedby", help.id);
  if (input instanceof HTMLSelectElement) {
    const words = field.words.includes(field.value) ? field.words : ["", ...field.words];
    const all = field.needed || words[0] === "" ? words : ["", ...words];
    const unsaid = field.now ? `${field.now}, as now` : "not said";
    input.append(...all.map((word) => new Option(word === "" ? unsaid : word, word)));
  } else {
    input.type = "text";
    input.autocomplete = "off";
    input.spellcheck = false;
    input.placeholder = field.now ?? "";
    if (field.words.length > 0) {
      const list = document.createElement("datalist");
      list.id = `words-${field.name}`;
      list.append(...field.words.map((word) => new Option(word)));
      input.setAttribute("list", list.id);
      row.append(list);
    }
  }
  input.value = field.value;
  input.addEventListener("change", () => changed(field));
  if (input instanceof HTMLInputElement) input.addEventListener("input", () => hand.changed());
  row.prepend(label, input, help);
  if (POINTED.includes(field.sort) && input instanceof HTMLInputElement) {
    const said = made("output", "", "pointed");
    row.append(said);
    input.addEventListener("focus", () => point({ sort: field.sort, input, said }));
  }
  return row;
}

/** Fields that a press on the pieces can fill in. */
const POINTED = ["place", "line", "seam-line", "grain", "over"];

/** @param {{ sort: string, input: HTMLInputElement, said: HTMLElement }} field */
function point(field) {
  for (const output of byId("form").querySelectorAll("output")) output.textContent = "";
  pointed = field;
  field.said.textContent = field.sort === "place" ? "Press the place on the piece, or write it." : "Press one place after another on the piece, or write it.";
}

/** Whether a press on the pieces is meant for a field. */
export const wantsPlace = () => pointed !== null;

/** Fills in the place that was pressed. @param {string} piece @param {[number, number]} at @param {number} reach */
export async function fillPlace(piece, at, reach) {
  const field = pointed;
  if (!field) return;
  // A line that is named, or a place that was there before, gives way to what is drawn.
  const isDrawn = field.input.dataset.drawn === field.input.value;
  await fill(field.input, { piece, at, reach, fills: field.sort === "place" ? "place" : { after: isDrawn ? field.input.value : "" } });
  if (field.sort === "place") goOn(field.input);
}

/** Goes on to the next place that is needed and not said yet: presses one after another fill one field after another. @param {HTMLInputElement} from */
function goOn(from) {
  const inputs = [...byId("form").querySelectorAll("input")];
  const isAsked = (/** @type {HTMLInputElement} */ input) => input.required && input.value === "" && input.closest("p")?.querySelector("output");
  inputs.slice(inputs.indexOf(from) + 1).find(isAsked)?.focus();
}

/** The place that is dragged, while another is asked for. @type {(() => Promise<void>) | null} */
let next = null;
let isMoving = false;

/** Moves a place that stands in a field; while one is asked for only the newest is kept. @param {import("./ask.js").Place} place @param {[number, number]} to @param {number} reach */
export async function movePlace(place, to, reach) {
  const input = /** @type {HTMLInputElement | null} */ (document.getElementById(`field-${place.field}`));
  if (!input) return;
  next = () => fill(input, { piece: place.piece, at: to, reach, fills: { "in-place-of": [input.value, place.number] } });
  if (isMoving) return;
  isMoving = true;
  while (next) {
    const now = next;
    next = null;
    await now();
  }
  isMoving = false;
}

/** @param {HTMLInputElement} input @param {Parameters<typeof ask.place>[0]} pointing */
async function fill(input, pointing) {
  if (!open) return;
  try {
    const found = await ask.place(pointing, open.at);
    if (!input.isConnected) return;
    input.value = found.value;
    input.dataset.drawn = found.value;
    const said = input.closest("p")?.querySelector("output");
    if (said) said.textContent = `${capital(found.says)}.`;
    hand.changed();
  } catch (error) {
    sayError(error);
  }
}

/** Another piece has other edges, darts and places. @param {FormField} field */
function changed(field) {
  const names = ["piece", "edge-of-any", "edges", "edge-run", "corner"];
  if (open && names.includes(field.sort) && open.form.fields.length > 1) {
    openForm(step(), open.at, "anew");
  } else {
    hand.changed();
  }
}

/** What stands in the form, as a step. */
function step() {
  /** @type {Fields} */
  const fields = { do: open?.form.do ?? "" };
  for (const input of /** @type {NodeListOf<HTMLInputElement>} */ (byId("form").querySelectorAll("input, select"))) {
    if (input.value.trim() !== "") fields[input.name] = input.value.trim();
  }
  return fields;
}

/** The step of the form that is open; nothing where none is, or something that it needs is missing. */
export function stepFilled() {
  if (!open || !(/** @type {HTMLFormElement} */ (byId("form")).checkValidity())) return null;
  return step();
}

/** Shows what may be said besides what is needed. */
export const showMore = () => (/** @type {HTMLDetailsElement} */ (byId("more")).open = true);

/** Whether a form is open. */
export const isOpen = () => open !== null;

/** Takes offers and form away. */
export function close() {
  asked += 1;
  open = null;
  pointed = null;
  byId("offers").hidden = true;
  byId("form").hidden = true;
}

/** @param {typeof hand} given */
export function onForm(given) {
  hand = given;
  byId("form").addEventListener("submit", (event) => {
    event.preventDefault();
    hand.keep();
  });
}
