// What a pointer is near: of all that lies under it the nearest, and of what is as near the smallest.

/** How near, in pixels, a dot is taken for what is pressed, and within how much of that it is before any line; by a mouse, and by a finger. */
const DOTS = { mouse: { taken: 12, before: 6 }, finger: { taken: 22, before: 12 } };

/** At how many places a line is looked at for where it is nearest, and how often it is then looked at more closely. */
const [PLACES, CLOSER] = [48, 3];

/** Of what is as near, what is smaller comes first. */
const SMALLER = ["place", "grip", "mark", "edge"];

/** A place of a line on the screen. @param {SVGGeometryElement} line @param {number} along mm @param {DOMMatrix} seen */
const placeOn = (line, along, seen) => line.getPointAtLength(along).matrixTransform(seen);

/** How far a line is from a place of the screen, pixels. @param {SVGGeometryElement} line @param {number} x @param {number} y */
function away(line, x, y) {
  const seen = line.getScreenCTM();
  if (!seen) return Infinity;
  const length = line.getTotalLength();
  let [from, to] = [0, length];
  let nearest = Infinity;
  for (let closer = 0; closer < CLOSER; closer += 1) {
    const step = (to - from) / PLACES;
    let best = from;
    for (let at = 0; at <= PLACES; at += 1) {
      const place = placeOn(line, from + at * step, seen);
      const apart = Math.hypot(place.x - x, place.y - y);
      if (apart < nearest) [nearest, best] = [apart, from + at * step];
    }
    [from, to] = [Math.max(best - step, 0), Math.min(best + step, length)];
  }
  return nearest;
}

/** The dots that are seen and near. @param {number} x @param {number} y @param {{ taken: number, before: number }} dots */
function dotsNear(x, y, { taken, before }) {
  const all = /** @type {NodeListOf<SVGGeometryElement>} */ (document.querySelectorAll("#sheet .place, #sheet .grip"));
  return [...all].flatMap((line) => {
    const seen = line.getScreenCTM();
    if (!seen) return [];
    const place = placeOn(line, 0, seen);
    const apart = Math.hypot(place.x - x, place.y - y);
    const isSeen = apart <= taken && getComputedStyle(line).pointerEvents !== "none";
    return isSeen ? [{ line, apart, rated: Math.max(0, apart - before) }] : [];
  });
}

/** What of the pieces lies under a place of the screen, from above; what lies on the cloth covers what is below it. @param {number} x @param {number} y */
function under(x, y) {
  const all = document.elementsFromPoint(x, y);
  const cloth = all.findIndex((one) => one.closest(".copy, .cloth-edge, .cloth-flaw") !== null);
  return /** @type {SVGGeometryElement[]} */ (all.slice(0, cloth < 0 ? all.length : cloth).filter((one) => one.closest("#sheet > .piece") !== null));
}

/** What is taken where a pointer is put down; where none of its lines is near, the piece of which something lies there. @param {PointerEvent} event @returns {SVGElement | null} */
export function near({ clientX: x, clientY: y, pointerType }) {
  const lying = under(x, y);
  const lines = lying.filter((one) => one.matches(".edge, .mark")).map((line) => {
    const apart = away(line, x, y);
    return { line, apart, rated: apart };
  });
  const rank = (/** @type {SVGElement} */ line) => SMALLER.findIndex((name) => line.classList.contains(name));
  const found = [...dotsNear(x, y, pointerType === "touch" ? DOTS.finger : DOTS.mouse), ...lines];
  found.sort((a, b) => a.rated - b.rated || rank(a.line) - rank(b.line) || a.apart - b.apart);
  return found[0]?.line ?? lying[0]?.closest(".piece")?.querySelector(":scope > .paper") ?? null;
}

/** What is shown to be taken at a press. @type {SVGElement | null} */
let lit = null;

/** Shows what would be taken at a press. @param {SVGElement | null} line */
export function light(line) {
  if (line === lit) return;
  lit?.classList.remove("near");
  line?.classList.add("near");
  lit = line;
}
