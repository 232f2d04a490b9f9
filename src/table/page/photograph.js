// A photograph of the cloth: chosen, or dropped on the page, or one that lies there already. The corners of the cloth are dragged
// on it. What it then means, and whether it may be so, the server says.

import * as ask from "./ask.js";
import { made, press } from "./choices.js";
import { element, placeAt } from "./ground.js";
import { byId, forKeys, item, why } from "./sentences.js";

/** @typedef {[number, number]} Place */
/** @typedef {import("./cloth.js").Cloth} Cloth */
/** @typedef {{ file: string, on: number, from: string, to: string, corners: Place[] | null }} Photograph */
/** A photograph that is being laid on a cloth: its file, how large it is, its picture, and what is said of it so far. @typedef {{ cloth: string, file: File, size: Place, shown: HTMLCanvasElement, corners: Place[], on: number }} Fresh */

/** How far a press of an arrow key moves a corner, pixels of the photograph; and with the shift key. */
const [PIXELS, ONE_PIXEL] = [10, 1];
/** How the corners are called, in their order. */
const CORNERS = ["left start", "right start", "right end", "left end"];
/** The longer side of what is shown of a photograph that is not kept yet, pixels. */
const MOST_SHOWN = 1600;
/** From how many times as wide as high on a photograph likely shows a length lying on its side. */
const ON_ITS_SIDE = 2;
/** The most that the server takes in, bytes. */
const LARGEST = 64 * 1024 * 1024;
/** How large the names of the corners are, pixels of the screen; and how far in from them they stand, of that. */
const [LETTERS, INWARD] = [15, 1.2];
/** What of the window is left for a photograph that is seen large, pixels: across, and at most; and down. */
const [BESIDE, WIDEST, BELOW] = [80, 1110, 272];

/** What is done with the table. @type {{ byHand: (cloth: string, hand: object) => Promise<void>, revision: () => number, show: (seen: import("./ask.js").Seen) => void, cloths: () => Cloth[] }} */
let table;
/** What is seen large: a photograph that is being laid on, or one that lies there. @typedef {Fresh | { cloth: string, picture: number }} Large */
/** @type {Large | null} */
let large = null;

/** The corners of a picture itself. @param {Place} size @returns {Place[]} */
const ownCorners = ([width, height]) => [[0, 0], [width, 0], [width, height], [0, height]];

/** The corners where the cloth is seen to start a quarter further round. @param {Place[]} corners */
const turned = (corners) => [corners[3], ...corners.slice(0, 3)];

/** A picture with the corners of the cloth on it, which can be dragged. @param {HTMLElement} shown @param {string} name @param {Place} size @param {Place[]} corners @param {(corner: number) => void} keep */
function cornered(shown, name, [width, height], corners, keep) {
  const over = element("svg", { class: "corners", viewBox: `0 0 ${width} ${height}` });
  const outline = element("path", { class: "drawn" });
  const letters = LETTERS * Math.max(width / Math.min(innerWidth - BESIDE, WIDEST), height / Math.max(innerHeight - BELOW, 1));
  const words = CORNERS.map((says) => {
    const text = element("text", { "font-size": String(letters), "dominant-baseline": "central", "aria-hidden": "true" });
    text.textContent = says;
    return text;
  });
  const dots = corners.map((_, i) => element("path", { class: "place", tabindex: "0", role: "button", "aria-label": `Corner at ${CORNERS[i]} of ${name}: drag it${forKeys(", or move it with the arrow keys; Enter keeps it")}` }));
  const redraw = () => {
    outline.setAttribute("d", `M${corners.map((corner) => corner.join(" ")).join("L")}Z`);
    const middle = [0, 1].map((k) => corners.reduce((sum, corner) => sum + corner[k] / corners.length, 0));
    corners.forEach((corner, i) => {
      dots[i].setAttribute("d", `M${corner.join(" ")}h0`);
      const inward = (/** @type {0 | 1} */ k) => String(corner[k] + INWARD * letters * Math.sign(middle[k] - corner[k]));
      words[i].setAttribute("x", inward(0));
      words[i].setAttribute("y", inward(1));
      words[i].setAttribute("text-anchor", corner[0] < middle[0] ? "start" : "end");
    });
  };
  dots.forEach((dot, i) => {
    let isMoved = false;
    const to = (/** @type {Place} */ [x, y]) => {
      corners[i] = [Math.min(Math.max(x, 0), width), Math.min(Math.max(y, 0), height)];
      isMoved = true;
      redraw();
    };
    const letGo = () => {
      if (isMoved) keep(i);
      isMoved = false;
    };
    dot.addEventListener("pointerdown", (event) => {
      event.preventDefault();
      dot.focus({ preventScroll: true });
      dot.setPointerCapture(event.pointerId);
    });
    dot.addEventListener("pointermove", (event) => {
      if (!dot.hasPointerCapture(event.pointerId)) return;
      const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(/** @type {SVGGraphicsElement} */ (/** @type {unknown} */ (over)).getScreenCTM()?.inverse());
      to([at.x, at.y]);
    });
    dot.addEventListener("pointerup", letGo);
    dot.addEventListener("keydown", (event) => {
      const by = event.shiftKey ? ONE_PIXEL : PIXELS;
      /** @type {Record<string, Place>} */
      const arrows = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] };
      const arrow = arrows[event.key];
      if (arrow) to([corners[i][0] + arrow[0], corners[i][1] + arrow[1]]);
      else if (event.key === "Enter") letGo();
      else return;
      event.preventDefault();
    });
  });
  redraw();
  over.append(outline, ...words, ...dots);
  return made("div", { className: "photograph" }, shown, over);
}

/** Has something of a photograph that lies there changed; where that is refused, what is seen large lies as before and says so. @param {string} cloth @param {object} hand */
async function change(cloth, hand) {
  await table.byHand(cloth, hand);
  const refused = byId("cloth-says").textContent;
  if (!large || !refused) return;
  fill();
  dialog().append(made("p", { className: "bad", role: "alert" }, refused));
}

/** A photograph that lies on a cloth, with its corners. @param {Cloth} cloth @param {number} number */
function lying(cloth, number) {
  const shot = cloth.pictures[number];
  const image = made("img", { src: `/cloth/picture/${cloth.name}/${number}`, alt: `The photograph ${shot.file}` });
  const place = made("div", {}, image);
  image.addEventListener("load", () => {
    const size = /** @type {Place} */ ([image.naturalWidth, image.naturalHeight]);
    const corners = (shot.corners ?? ownCorners(size)).map(([x, y]) => /** @type {Place} */ ([x, y]));
    place.replaceChildren(cornered(image, shot.file, size, corners, (corner) => change(cloth.name, { corner: { picture: number, corner, at: corners[corner], whole: size } })));
  });
  return place;
}

/** A line of two fields: from where to where on its length a photograph shows the cloth. @param {string} id @param {string} from @param {string} to */
function stretch(id, from, to) {
  const field = (/** @type {string} */ name, /** @type {string} */ value) => made("input", { id: `${id}-${name}`, name, type: "text", autocomplete: "off", spellcheck: false, required: true, defaultValue: value });
  const [first, last] = [field("from", from), field("to", to)];
  return { first, last, line: made("p", { className: "stretch" }, made("label", { htmlFor: first.id }, "From"), first, made("label", { htmlFor: last.id }, "to"), last, "along it") };
}

/** The photographs of a cloth, each with what can be set of it. @param {Cloth} cloth @returns {HTMLElement[]} */
export function photographs(cloth) {
  const each = cloth.pictures.map((shot, number) => {
    const id = `cloth-photograph-${cloth.name}-${number}`;
    const { first, last, line } = stretch(id, shot.from, shot.to);
    const keep = () => change(cloth.name, { stretch: { picture: number, from: first.value, to: last.value } });
    for (const input of [first, last]) input.addEventListener("change", keep);
    const away = press("Take it away", () => change(cloth.name, { "no-picture": { picture: number } }), `${id}-away`);
    away.setAttribute("aria-label", `Take it away: ${shot.file}`);
    const look = press("Look at it large", () => seeLarge({ cloth: cloth.name, picture: number }), `${id}-large`);
    look.setAttribute("aria-label", `Look at it large: ${shot.file}`);
    return made("div", {}, lying(cloth, number), line, made("p", {}, look, away));
  });
  return each;
}

/** A press that adds a photograph of a cloth. @param {Cloth} cloth */
export const adds = (cloth) => press("Add a photograph of it", () => choose(cloth), `cloth-photograph-${cloth.name}`);

/** Has a photograph chosen. @param {Cloth} cloth */
function choose(cloth) {
  const input = made("input", { type: "file", accept: "image/png,image/jpeg" });
  input.addEventListener("change", () => input.files?.[0] && begun(cloth, input.files[0]));
  input.click();
}

/** @param {string} sentence */
const sayWrong = (sentence) => byId("cloth-says").replaceChildren(item({ good: false, sentence }));

/** Begins to lay a photograph on a cloth: it is seen large, to set its corners on. @param {Cloth} cloth @param {File} file */
async function begun(cloth, file) {
  if (file.size > LARGEST) {
    sayWrong(`${file.name} is larger than is taken in; make it smaller: 10 pixels for a millimetre are plenty.`);
    return;
  }
  try {
    const bitmap = await createImageBitmap(file);
    const size = /** @type {Place} */ ([bitmap.width, bitmap.height]);
    const by = Math.min(1, MOST_SHOWN / Math.max(...size));
    const shown = made("canvas", { width: Math.round(size[0] * by), height: Math.round(size[1] * by) });
    shown.getContext("2d")?.drawImage(bitmap, 0, 0, shown.width, shown.height);
    bitmap.close();
    const own = ownCorners(size);
    byId("cloth-says").replaceChildren();
    seeLarge({ cloth: cloth.name, file, size, shown, corners: size[0] > ON_ITS_SIDE * size[1] ? turned(own) : own, on: 0 });
  } catch {
    sayWrong(`${file.name} cannot be read as a photograph; save it as JPEG or PNG.`);
  }
}

/** @returns {HTMLDialogElement} */
const dialog = () => /** @type {HTMLDialogElement} */ (byId("photograph"));

/** @param {Large} what */
function seeLarge(what) {
  large = what;
  fill();
  if (!dialog().open) dialog().showModal();
}

/** Lays out what is seen large. */
function fill() {
  const cloth = table.cloths().find(({ name }) => name === large?.cloth);
  if (!large || !cloth) {
    dialog().close();
  } else if ("file" in large) {
    dialog().replaceChildren(...freshShown(large, cloth));
  } else if (cloth.pictures[large.picture]) {
    dialog().replaceChildren(...lyingShown(cloth, large.picture));
  } else {
    dialog().close();
  }
}

const HOW = "Drag the corners to those of the cloth: start and end along its length, left and right across it.";

/** @param {string} says */
const heading = (says) => made("h2", { id: "photograph-says" }, says);

/** @param {Cloth} cloth @param {number} number */
function lyingShown(cloth, number) {
  const { file, corners } = cloth.pictures[number];
  // A quarter turn of what lies there would be of other cloth; which end is its start may be mistaken.
  const turn = press("Its start is at the other end", () => corners && change(cloth.name, { corners: { picture: number, corners: turned(turned(corners)) } }), "photograph-turn");
  return [heading(`${file} on ${cloth.name}`), made("p", { className: "help" }, HOW), lying(cloth, number), made("p", {}, ...(corners ? [turn] : []), press("Go back", () => dialog().close(), "photograph-back"))];
}

/** Where on a length the photographs of it end so far. @param {Cloth} cloth @param {number} on */
const endsAt = (cloth, on) => cloth.pictures.filter((shot) => shot.on === on).at(-1)?.to ?? "0m";

/** How long a length is, as it is said. @param {Cloth} cloth @param {number} on */
const longIs = (cloth, on) => (cloth.fields.find(({ name }) => name === "length")?.value ?? "").split(",")[on]?.trim() ?? "";

/** A photograph that is being laid on a cloth. @param {Fresh} fresh @param {Cloth} cloth */
function freshShown(fresh, cloth) {
  const picture = made("div", {});
  const redraw = () => picture.replaceChildren(cornered(fresh.shown, fresh.file.name, fresh.size, fresh.corners, () => {}));
  redraw();
  const { first, last, line } = stretch("photograph", endsAt(cloth, fresh.on), longIs(cloth, fresh.on));
  const refused = made("p", { className: "bad", role: "alert" });
  const keep = async () => {
    try {
      const said = { cloth: cloth.name, on: fresh.on, from: first.value, to: last.value, corners: fresh.corners };
      const seen = await ask.photograph(table.revision(), said, fresh.file);
      dialog().close();
      table.show(seen);
    } catch (error) {
      refused.textContent = why(error);
    }
  };
  const turn = press("Turn it", () => {
    fresh.corners = turned(fresh.corners);
    redraw();
  }, "photograph-turn");
  const form = made("form", { className: "choices", autocomplete: "off" }, ...which(fresh, cloth), line, refused, made("p", {}, made("button", { type: "submit", id: "photograph-keep" }, "Lay it on the cloth"), turn, press("Leave it", () => dialog().close(), "photograph-leave")));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    keep();
  });
  return [heading(`A photograph of ${cloth.name}`), made("p", { className: "help" }, HOW), picture, form];
}

/** Of which length it is, where there are several. @param {Fresh} fresh @param {Cloth} cloth */
function which(fresh, cloth) {
  if (cloth.lengths.length < 2) return [];
  const select = made("select", { id: "photograph-on" }, ...cloth.lengths.map((_, on) => new Option(`length ${on + 1}, ${longIs(cloth, on)}`, String(on), on === fresh.on, on === fresh.on)));
  select.addEventListener("change", () => {
    fresh.on = Number(select.value);
    fill();
    document.getElementById("photograph-on")?.focus();
  });
  return [made("p", {}, made("label", { htmlFor: select.id }, "Of which length it is"), select)];
}

/** Shows what is seen large as it now is; what is being laid on stays. */
export function seeAgain() {
  if (large && !("file" in large)) fill();
}

/** What is dropped on the page. @param {DragEvent} event */
function dropped(event) {
  if (!event.dataTransfer?.types.includes("Files")) return;
  event.preventDefault();
  const file = event.dataTransfer.files[0];
  const [x, y] = placeAt(event.clientX, event.clientY);
  const laid = table.cloths().filter(({ lengths }) => lengths.length > 0);
  const under = laid.find(({ lengths }) => lengths.some(([left, top, width, height]) => x >= left && x <= left + width && y >= top && y <= top + height));
  const cloth = under ?? laid[0];
  if (cloth && file) begun(cloth, file);
  else sayWrong("Say first how wide and how long the cloth is; then a photograph can lie on it.");
}

/** @param {typeof table} given */
export function begin(given) {
  table = given;
  dialog().addEventListener("close", () => {
    large = null;
    dialog().replaceChildren();
  });
  document.addEventListener("dragover", (event) => {
    if (event.dataTransfer?.types.includes("Files")) event.preventDefault();
  });
  document.addEventListener("drop", dropped);
}
