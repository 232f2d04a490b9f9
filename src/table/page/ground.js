// The ground that everything lies on: drawn as the server says, moved and zoomed here.

import { Words } from "./words.js";

/** @typedef {import("./ask.js").Piece} Piece */

const SVG = "http://www.w3.org/2000/svg";
const sheet = /** @type {SVGSVGElement} */ (/** @type {unknown} */ (document.getElementById("sheet")));
/** What shows all again that was in view at first. */
const showsAll = document.getElementById("whole");
const parser = new DOMParser();

/** What is seen, mm: the middle, and how many mm a pixel is. */
const view = { x: 0, y: 0, scale: 1 };
/** @typedef {[number, number, number, number]} Box left, top, width, height, mm */
/** What may be shown: the pieces with the first cloth, and with all of it. @type {{ first: Box, whole: Box }} */
let views = { first: [0, 0, 1, 1], whole: [0, 0, 1, 1] };
/** What is in view, and stays so when the window changes: the pieces first, all that lies there, or what the hand chose. @type {"first" | "all" | "chosen"} */
let shows = "first";

/** @param {string} tag @param {Record<string, string>} attributes @returns {SVGElement} */
export function element(tag, attributes) {
  const made = /** @type {SVGElement} */ (document.createElementNS(SVG, tag));
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  return made;
}

/** @param {string} drawing a group @returns {Node} */
export function drawn(drawing) {
  const text = `<svg xmlns="${SVG}">${drawing}</svg>`;
  const root = parser.parseFromString(text, "image/svg+xml").documentElement;
  const group = element("g", { class: "as-drawn", "aria-hidden": "true" });
  group.append(...root.childNodes);
  return document.adoptNode(group);
}

/** What can be taken hold of. @typedef {{ grip: object, at: [number, number], ways: import("./ask.js").Way[] }} Held */

/** What is known of what lies there. @type {WeakMap<SVGElement, Held>} */
const known = new WeakMap();

/** What can be taken hold of there; nothing where that is only pressed. @param {SVGElement} line */
export const gripOf = (line) => known.get(line) ?? null;

/** @param {SVGElement} line @param {unknown} thing @param {string} called */
function canBePressed(line, thing, called) {
  line.dataset.thing = JSON.stringify(thing);
  line.dataset.called = called;
}

/** A line or a dot that can be reached by key. @param {string} name @param {string} d @param {string} says */
const touched = (name, d, says) => element("path", { class: name, d, tabindex: "0", role: "button", "aria-label": says });

/** A dot, as large on the screen however far off it is seen. @param {[number, number]} at */
export const dot = ([x, y]) => `M${x} ${y}h0`;

/** @param {import("./ask.js").Edge} edge */
function edgeLaid(edge) {
  const isSewn = edge["sewn-to"].length > 0;
  const line = touched(isSewn ? "edge" : "edge free", edge.line, `${edge.called}: take hold`);
  line.dataset.edge = edge.name;
  line.dataset.middle = edge.middle.join(" ");
  line.dataset.met = edge["sewn-to"].join(" ");
  canBePressed(line, { edge: edge.name }, edge.called);
  known.set(line, { grip: { edge: edge.name }, at: edge.middle, ways: edge.ways });
  return line;
}

/** @param {import("./ask.js").Grip} grip */
function gripLaid(grip) {
  const made = touched("grip", dot(grip.at), `${grip.called}: take hold`);
  canBePressed(made, grip.thing, grip.called);
  made.dataset.grip = JSON.stringify(grip.grip);
  known.set(made, grip);
  return made;
}

/** Words that are set when it is known how far off they are seen. @param {string} name @param {string} says @param {[number, number]} foot */
const said = (name, says, foot) => element("text", { class: name, "data-says": says, "data-foot": foot.join(" "), "aria-hidden": "true" });

/** @param {Piece} piece @returns {SVGElement} */
function drawnPiece(piece) {
  const group = element("g", { class: "piece", "data-name": piece.name, role: "group", "aria-label": piece.fit?.sentence ?? piece.name });
  if (piece.shift[0] || piece.shift[1]) group.setAttribute("transform", `translate(${piece.shift.join(" ")})`);
  group.append(element("path", { class: "paper", d: piece.paper }), drawn(piece.drawing));
  // What is only an outline is named elsewhere.
  if (piece.drawing || piece.fit) group.append(said("name", piece.name, piece.foot));
  if (piece["fit-word"]) group.append(said(`fit ${piece.fit?.good ? "good" : "bad"}`, piece["fit-word"], piece.foot));
  return group;
}

/** A piece that can be pressed and taken hold of. @param {Piece} piece */
function laid(piece) {
  const group = drawnPiece(piece);
  const paper = /** @type {SVGElement} */ (group.firstElementChild);
  // Where a piece is seen too small to be pressed, what is around it counts as well.
  paper.before(element("path", { class: "hit", d: piece.paper }));
  const says = `${piece.name}: what can be done with it`;
  for (const [name, value] of Object.entries({ tabindex: "0", role: "button", "aria-label": says })) paper.setAttribute(name, value);
  canBePressed(paper, { piece: piece.name }, piece.name);
  group.dataset.reach = piece.reach.join(" ");
  group.dataset.cloth = piece.cloth;
  known.set(paper, { grip: { piece: piece.name }, at: [piece.foot[0], piece.foot[1]], ways: piece.ways });
  for (const mark of piece.marks) {
    const line = touched("mark", mark.line, `${mark.called}: what can be done with it`);
    canBePressed(line, mark.thing, mark.called);
    group.append(line);
  }
  group.append(...piece.edges.map(edgeLaid), ...piece.grips.map(gripLaid));
  return group;
}

/** Draws everything anew. @param {import("./ask.js").Lying} seen */
export function lay(seen) {
  const focused = document.activeElement instanceof SVGElement ? document.activeElement : null;
  const again = focused?.dataset.grip ? `[data-grip="${CSS.escape(focused.dataset.grip)}"]` : focused?.dataset.thing && `[data-thing="${CSS.escape(focused.dataset.thing)}"]`;
  const cloths = seen.cloths.map((cloth) => {
    const group = element("g", { role: "img", "aria-label": cloth.called });
    group.append(drawn(cloth.drawing));
    return group;
  });
  const before = new Set([...sheet.querySelectorAll(":scope > .piece")].map((piece) => /** @type {SVGElement} */ (piece).dataset.name));
  sheet.replaceChildren(...cloths, ...["cloth-grips", "laid"].map((id) => element("g", { id })), ...seen.pieces.map(laid), ...["trial", "drawn", "places"].map((id) => element("g", { id })));
  for (const piece of sheet.querySelectorAll(":scope > .piece")) {
    // What lies there anew is seen for a while.
    piece.classList.toggle("fresh", before.size > 0 && !before.has(/** @type {SVGElement} */ (piece).dataset.name));
  }
  views = seen.views;
  sizedAt = 0;
  showAgain();
  if (again) /** @type {SVGElement | null} */ (sheet.querySelector(again))?.focus({ preventScroll: true });
}

/** The line of an edge. @param {string} name @returns {SVGElement | null} */
export const edge = (name) => sheet.querySelector(`.edge[data-edge="${CSS.escape(name)}"]`);

/** Lays pieces as they would be over those that are there. @param {Piece[]} pieces @param {string[]} gone */
export function layOver(pieces, gone) {
  const changed = new Set([...pieces.map((piece) => piece.name), ...gone]);
  for (const piece of sheet.querySelectorAll(":scope > .piece")) {
    piece.classList.toggle("under", changed.has(/** @type {SVGElement} */ (piece).dataset.name ?? ""));
  }
  const laidOver = pieces.map(drawnPiece);
  document.getElementById("trial")?.replaceChildren(...laidOver);
  if (laidOver.length > 0) new Words(laidOver, view.scale, null, standing);
}

/** Draws what the hand draws, and what it is drawn to. @param {string} line @param {import("./ask.js").Snap[]} snaps */
export function draw(line, snaps) {
  const dots = snaps.map((snap) => element("path", { class: "snap", d: dot(snap.at) }));
  document.getElementById("drawn")?.replaceChildren(...(line ? [element("path", { class: "drawn", d: line })] : []), ...dots);
}

/** Draws a stroke through places where it cannot be. @param {[number, number][]} places */
export function drawStrokeInVain(places) {
  const d = `M${places.map((place) => place.join(" ")).join("L")}`;
  document.getElementById("drawn")?.replaceChildren(element("path", { class: "drawn in-vain", d }));
}

/** Draws what is held where the hand has it, though it cannot be there. @param {SVGElement} line @param {[number, number]} by */
export function drawInVain(line, [x, y]) {
  const lies = line.closest(".piece")?.getAttribute("transform") ?? "";
  const made = element("path", { class: `drawn in-vain${line.classList.contains("grip") ? " dot" : ""}`, d: line.getAttribute("d") ?? "", transform: `translate(${x} ${y}) ${lies}` });
  document.getElementById("drawn")?.replaceChildren(made);
}

/** Lays handles to places that can be dragged; that which had the focus keeps it. @param {{ name: string, says: string, at: [number, number] }[]} places */
export function layPlaces(places) {
  const group = document.getElementById("places");
  const focused = document.activeElement instanceof SVGElement ? document.activeElement.dataset.place : undefined;
  const made = places.map((place) => {
    const handle = touched("place", dot(place.at), `${place.says}: drag it`);
    handle.dataset.place = place.name;
    return handle;
  });
  group?.replaceChildren(...made);
  made.find((handle) => handle.dataset.place === focused)?.focus({ preventScroll: true });
}

/** Where a place of the sheet is seen, pixels from the corner of the ground. @param {[number, number]} at @returns {[number, number]} */
export function seenAt([x, y]) {
  follow();
  const place = new DOMPoint(x, y).matrixTransform(sheet.getScreenCTM() ?? undefined);
  const box = sheet.getBoundingClientRect();
  return [place.x - box.x, place.y - box.y];
}

/** A place on the screen as a place of the sheet, mm. @param {number} x @param {number} y @returns {[number, number]} */
export function placeAt(x, y) {
  follow();
  const place = new DOMPoint(x, y).matrixTransform(sheet.getScreenCTM()?.inverse());
  return [place.x, place.y];
}

/** How many mm a pixel is. */
export const mmOfPixel = () => view.scale;

/** How wide and how long, in pixels, a piece is seen at least for its edges to be pressed: its paper has room between them. */
const [PRESSED_ACROSS, PRESSED_ALONG] = [14, 60];
/** From how wide on its edges are as wide as a finger, and from how wide on its marks: in narrower ones there is paper between them. */
const [WHOLE_EDGES, WHOLE_MARKS] = [56, 130];
/** From how wide on a piece shows its dots: for a mouse, and for a finger. In narrower ones they would lie on each other. */
const [DOTS, DOTS_FOR_FINGERS] = [36, 72];
const isByFinger = matchMedia("(pointer: coarse)");
/** How many mm a pixel was when the pieces were looked at last. */
let sizedAt = 0;

/** The words of what lies there. @type {Words | null} */
let standing = null;

let areWordsAsked = false;

/** Sets the words of what lies there. */
function setWords() {
  areWordsAsked = false;
  const all = { x: view.x, y: view.y, across: (sheet.clientWidth * view.scale) / 2, down: (sheet.clientHeight * view.scale) / 2, turn: 0 };
  standing = new Words([...sheet.querySelectorAll(":scope > .piece, :scope > [role=img]")], view.scale, shows === "chosen" ? null : all);
  setWordsOf([...sheet.querySelectorAll(".copy")]);
  setWordsOf([...sheet.querySelectorAll("#labels")]);
}

/** Sets the words of what lies there beside the pieces: copies on the cloth, or the names of a drawing. @param {Element[]} groups */
export const setWordsOf = (groups) => void new Words(groups, view.scale, null);

/** Notes of each piece whether it is seen too small for its edges, marks or dots to be pressed. */
function sizePieces() {
  if (sizedAt === view.scale) return;
  const isAnew = sizedAt === 0;
  sizedAt = view.scale;
  const dots = isByFinger.matches ? DOTS_FOR_FINGERS : DOTS;
  for (const piece of /** @type {NodeListOf<SVGGElement>} */ (sheet.querySelectorAll(":scope > .piece"))) {
    const [narrow, long] = (piece.dataset.reach ?? "0 0").split(" ").map((mm) => Number(mm) / view.scale);
    piece.classList.toggle("tiny", narrow < PRESSED_ACROSS || long < PRESSED_ALONG);
    piece.classList.toggle("thin", narrow < WHOLE_EDGES);
    piece.classList.toggle("small", narrow < WHOLE_MARKS);
    piece.classList.toggle("dotless", narrow < dots);
  }
  // While one zooms, words are set once for each time that they are seen.
  if (isAnew) setWords();
  else if (!areWordsAsked) requestAnimationFrame(setWords);
  areWordsAsked = !isAnew;
}

/** How wide and high the ground was when it was looked at last, pixels. */
let size = [sheet.clientWidth, sheet.clientHeight];
/** Whether something is dragged, under which the ground keeps still. */
let isStill = false;

/**
 * Has the view follow the size of the ground. It is done before a place is read as well: until the view has followed, a pixel is
 * another length.
 */
function follow() {
  const [width, height] = size;
  if (width === sheet.clientWidth && height === sheet.clientHeight) return;
  size = [sheet.clientWidth, sheet.clientHeight];
  // What is seen ends where it ended, and the sentences above it grow.
  if (shows === "chosen" || isStill) view.y += ((height - size[1]) / 2) * view.scale;
  showAgain();
}

/** Shows what is to be in view: nothing else than before while something is dragged, or where the hand chose what is seen. */
function showAgain() {
  if (shows === "chosen" || isStill) look();
  else showAll(shows);
}

/** Keeps the ground still under what is dragged: the sentences above it stay as high as they are. */
export function keepStill() {
  isStill = true;
  const above = document.querySelector("header");
  above?.style.setProperty("height", `${above.offsetHeight}px`);
  above?.classList.add("still");
}

/** Lets the ground go when nothing is dragged any more: it fits its place again. */
export function letMove() {
  if (!isStill) return;
  isStill = false;
  const above = document.querySelector("header");
  above?.style.removeProperty("height");
  above?.classList.remove("still");
  follow();
  showAgain();
}

function look() {
  sizePieces();
  // What the hand chose to see can be left at a press: a finger has no key for it.
  if (showsAll) showsAll.hidden = shows !== "chosen";
  const [width, height] = [sheet.clientWidth * view.scale, sheet.clientHeight * view.scale];
  sheet.setAttribute("viewBox", `${view.x - width / 2} ${view.y - height / 2} ${width} ${height}`);
}

/** How much smaller the pieces may be seen for all of the cloth to be in view from the first. */
const SMALLER = 1.25;

/** How many mm a pixel is where a box fills the ground. @param {Box} box */
const scaleFor = ([, , width, height]) => Math.max(width / Math.max(sheet.clientWidth, 1), height / Math.max(sheet.clientHeight, 1));

/** Brings the pieces into view, with the cloth beside them; or all that lies there. @param {"first" | "all"} what */
export function showAll(what) {
  const { first, whole } = views;
  const isAll = what === "all" || scaleFor(whole) <= SMALLER * scaleFor(first);
  const box = isAll ? whole : first;
  view.scale = scaleFor(box);
  const [x, y, width, height] = box;
  Object.assign(view, { x: x + width / 2, y: y + height / 2 });
  // Where there is more cloth than is shown, none of it is seen in half.
  if (!isAll && whole[0] < first[0]) view.x = x + (sheet.clientWidth * view.scale) / 2;
  shows = what;
  look();
}

/** How much of the ground a piece fills that one comes nearer to. */
const FILLED = 0.8;

/** Whether a piece is seen so small that its edges are narrower than elsewhere. @param {SVGElement} piece */
export const isSeenSmall = (piece) => piece.classList.contains("thin");

/** Brings a piece into view as large as it can be seen whole. @param {SVGElement} piece */
export function comeNearer(piece) {
  const paper = /** @type {SVGGraphicsElement | null} */ (piece.querySelector(":scope > .paper"));
  if (!paper) return;
  const { x, y, width, height } = paper.getBBox();
  Object.assign(view, { x: x + width / 2, y: y + height / 2, scale: scaleFor([x, y, width, height]) / FILLED });
  shows = "chosen";
  look();
}

/** Brings a place of the sheet into view where it is not. @param {[number, number]} at */
export function bringIntoView([x, y]) {
  const [width, height] = [sheet.clientWidth * view.scale, sheet.clientHeight * view.scale];
  if (Math.abs(x - view.x) < 0.4 * width && Math.abs(y - view.y) < 0.4 * height) return;
  Object.assign(view, { x, y });
  shows = "chosen";
  look();
}

/** @param {number} by @param {number} x @param {number} y where the finger or pointer is, pixels */
function zoom(by, x, y) {
  const [beforeX, beforeY] = placeAt(x, y);
  view.scale = Math.min(Math.max(view.scale * by, 0.02), 20);
  shows = "chosen";
  look();
  const [afterX, afterY] = placeAt(x, y);
  pan((afterX - beforeX) / view.scale, (afterY - beforeY) / view.scale);
}

/** @param {number} x @param {number} y pixels */
function pan(x, y) {
  shows = "chosen";
  view.x -= x * view.scale;
  view.y -= y * view.scale;
  look();
}

/** Fingers on the ground. @type {Map<number, { x: number, y: number }>} */
const fingers = new Map();

/** Lays a finger on the ground that held something before. @param {number} id @param {number} x @param {number} y */
export const layFinger = (id, x, y) => void fingers.set(id, { x, y });

sheet.addEventListener("pointerdown", (event) => {
  if (event.defaultPrevented) return;
  fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
  sheet.setPointerCapture(event.pointerId);
});
sheet.addEventListener("pointermove", (event) => {
  const finger = fingers.get(event.pointerId);
  if (!finger) return;
  const now = { x: event.clientX, y: event.clientY };
  const other = [...fingers].find(([id]) => id !== event.pointerId)?.[1];
  if (other) {
    const apart = (/** @type {{ x: number, y: number }} */ one) => Math.hypot(one.x - other.x, one.y - other.y);
    if (apart(now) > 0) zoom(apart(finger) / apart(now), other.x, other.y);
  } else {
    pan(now.x - finger.x, now.y - finger.y);
  }
  fingers.set(event.pointerId, now);
});
for (const end of ["pointerup", "pointercancel"]) {
  sheet.addEventListener(end, (event) => fingers.delete(/** @type {PointerEvent} */ (event).pointerId));
}
sheet.addEventListener("wheel", (event) => {
  event.preventDefault();
  zoom(Math.exp(Math.max(-1, Math.min(1, event.deltaY / 400))), event.clientX, event.clientY);
}, { passive: false });
/** Whether what has the focus is written or chosen in. @param {EventTarget | null} at */
const isWritten = (at) => at instanceof HTMLInputElement || at instanceof HTMLSelectElement || at instanceof HTMLTextAreaElement;
document.addEventListener("keydown", (event) => {
  const isArrow = event.key.startsWith("Arrow");
  if (event.ctrlKey || event.metaKey || event.altKey || isWritten(event.target) || (isArrow && event.target !== sheet)) return;
  const box = sheet.getBoundingClientRect();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  /** @type {Record<string, () => void>} */
  const keys = {
    "+": () => zoom(0.8, x, y), "=": () => zoom(0.8, x, y), "-": () => zoom(1.25, x, y), "0": () => showAll("all"),
    ArrowLeft: () => pan(60, 0), ArrowRight: () => pan(-60, 0), ArrowUp: () => pan(0, 60), ArrowDown: () => pan(0, -60),
  };
  if (!keys[event.key]) return;
  event.preventDefault();
  keys[event.key]();
});
showsAll?.addEventListener("click", () => showAll("first"));
new ResizeObserver(follow).observe(sheet);
