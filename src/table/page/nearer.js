// What is in the hand by the edges of its piece: they are taken by their names, and where the piece is seen small one comes nearer.

import { made, press } from "./choices.js";
import { comeNearer, isSeenSmall } from "./ground.js";
import { byId } from "./sentences.js";

/** What is done with an edge whose name is pressed. @type {(edge: SVGElement) => void} */
let take = () => {};

/** @param {typeof take} given */
export const onEdge = (given) => void (take = given);

/** Comes nearer to the piece of what is in the hand, where that is seen small. @param {SVGElement} line */
export function nearTo(line) {
  const piece = /** @type {SVGElement | null} */ (line.closest(".piece"));
  if (!piece || !isSeenSmall(piece)) return;
  comeNearer(piece);
  offerEdges(line);
}

/** Says of what is in the hand how one comes nearer, and of a piece how its edges are taken. @param {SVGElement | null} line */
export function offerEdges(line) {
  const at = byId("edges-here");
  at.replaceChildren();
  const piece = /** @type {SVGElement | null | undefined} */ (line?.closest(".piece"));
  if (!line || !piece) return;
  if (isSeenSmall(piece)) at.append(made("p", {}, press("Come nearer", () => nearTo(line))));
  const edges = /** @type {SVGElement[]} */ (line.classList.contains("paper") ? [...piece.querySelectorAll(":scope > .edge")] : []);
  const names = edges.map((edge) => press((edge.dataset.edge ?? "").split(".").slice(1).join("."), () => take(edge)));
  if (names.length > 0) at.append(made("p", {}, "Take an edge of it: ", ...names));
}
