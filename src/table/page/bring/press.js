// What pointers and keys do on the drawing: a press takes a thing into the hand, Escape lets go of it.

import { light, near } from "../near.js";
import { byId } from "./words.js";

/** How far, in pixels, a pointer may move and still be a press. */
const MEANT = 6;

/** What the pointer was put down on. @type {{ thing: SVGElement, x: number, y: number, id: number } | null} */
let down = null;

/** @param {EventTarget | null} target @returns {target is SVGElement} */
const isThing = (target) => target instanceof SVGElement && target.dataset.thing !== undefined;

/** @param {SVGElement} line @returns {import("./words.js").Thing} */
const thingOf = (line) => JSON.parse(line.dataset.thing ?? "null");

/** @param {{ press: (thing: import("./words.js").Thing) => Promise<void>, letGo: () => void }} does */
export function listen(does) {
  const sheet = byId("sheet");
  sheet.addEventListener("pointerdown", (event) => {
    // Two fingers move the ground, whatever they lie on.
    const isFirst = down === null;
    const line = near(event);
    light(null);
    down = isFirst && event.button === 0 && isThing(line) ? { thing: line, x: event.clientX, y: event.clientY, id: event.pointerId } : null;
  }, { capture: true });
  sheet.addEventListener("pointerup", (event) => {
    const was = down;
    down = null;
    if (!was || was.id !== event.pointerId || Math.hypot(event.clientX - was.x, event.clientY - was.y) > MEANT) return;
    was.thing.focus({ preventScroll: true });
    does.press(thingOf(was.thing));
  });
  sheet.addEventListener("pointermove", (event) => {
    if (event.buttons === 0 && event.pointerType !== "touch") light(near(event));
  });
  sheet.addEventListener("pointerleave", () => light(null));
  sheet.addEventListener("pointercancel", () => void (down = null));
  document.addEventListener("keydown", async (event) => {
    if (event.key === "Escape") does.letGo();
    const line = event.target;
    if (!isThing(line) || (event.key !== "Enter" && event.key !== " ")) return;
    event.preventDefault();
    await does.press(thingOf(line));
    // By key one goes on with what can be said of it.
    const first = document.querySelector("#offers button, #fields button, #fields input");
    if (first instanceof HTMLElement) first.focus();
  });
}
