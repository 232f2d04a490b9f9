// Bringing a drawing in: what was found lies on the ground; what is pressed is said in the hand; what is missing is a list.

import { answered } from "../ask.js";
import { drawn, lay, setWordsOf, showAll } from "../ground.js";
import { sayMissing, saySizes } from "./missing.js";
import { hold, letGo, onHand, refresh } from "./thing.js";
import { listen } from "./press.js";
import { ask, byId, sayError, sentence } from "./words.js";

/** @typedef {import("./words.js").BringSeen} BringSeen */

/** How often the page looks whether the map has changed otherwise, and whether a drawing is read by now, ms. */
const [LOOKED, WAITED] = [700, 150];

/** What is said of each stage. @type {Record<string, string>} */
const STAGES = {
  nothing: "No pattern lies here yet.",
  reading: "The drawing is being read.",
  broken: "The drawing cannot be read.",
  size: "Several sizes lie one in another: choose yours.",
  map: "Press an outline, an edge or a line, and say what it is. Two edges pressed one after the other can be sewn.",
};

/** @type {BringSeen} */
let now;
/** What lies beneath, and of which drawing it is. @type {{ drawn: number, group: Element | null }} */
const under = { drawn: -1, group: null };

const SVG = "http://www.w3.org/2000/svg";

/** A group that the server drew. @param {string} drawing @param {string} id */
function drawnGroup(drawing, id) {
  const root = new DOMParser().parseFromString(`<svg xmlns="${SVG}">${drawing}</svg>`, "image/svg+xml").documentElement;
  const group = document.createElementNS(SVG, "g");
  group.id = id;
  group.setAttribute("aria-hidden", "true");
  group.append(...root.childNodes);
  return document.adoptNode(group);
}

/** An outline as a piece that lies on the ground. @param {import("./words.js").OutlineSeen} outline @returns {any} */
function asPiece(outline) {
  return {
    name: outline.letter, drawing: "", paper: outline.paper, fit: null, "fit-word": "", foot: [0, 0], reach: [Infinity, Infinity], shift: [0, 0], ways: [], grips: [],
    marks: outline.lines,
    edges: outline.edges.map((edge) => ({ name: /** @type {any} */ (edge.thing).edge, called: edge.called, line: edge.line, "sewn-to": [], middle: [0, 0], ways: [] })),
  };
}

/** Lays out what was found. */
async function layOut() {
  const isAnew = under.drawn !== now.drawn;
  if (isAnew) {
    const answer = await answered("/bring/beneath");
    under.group = drawnGroup(await answer.text(), "beneath");
    under.drawn = now.drawn;
  }
  lay({ pieces: now.outlines.map(asPiece), cloths: [], views: { first: now.bounds, whole: now.bounds } });
  const sheet = byId("sheet");
  if (under.group) sheet.prepend(under.group);
  const labels = Object.assign(document.createElementNS(SVG, "g"), { id: "labels" });
  labels.append(drawn(now.labels));
  sheet.append(labels);
  for (const outline of now.outlines) {
    const group = sheet.querySelector(`.piece[data-name="${outline.letter}"]`);
    group?.classList.toggle("nothing", !outline["is-piece"]);
    group?.setAttribute("aria-label", outline.called);
    const paper = /** @type {SVGElement | null | undefined} */ (group?.querySelector(".paper"));
    paper?.setAttribute("aria-label", `${outline.called}: say what it is`);
    if (paper) paper.dataset.thing = JSON.stringify({ outline: outline.letter });
  }
  if (isAnew) showAll("all");
  setWordsOf([labels]);
}

/** @param {BringSeen} seen */
async function show(seen) {
  now = seen;
  document.title = `${seen.title}: cutting table`;
  byId("title").textContent = seen.title;
  byId("stage").textContent = STAGES[seen.stage];
  byId("invite").hidden = seen.stage !== "nothing" && !(seen.stage === "broken" && seen.outlines.length === 0 && !seen["can-undo"]);
  byId("locked").hidden = seen.stage !== "broken";
  document.body.classList.toggle("choosing", seen.stage === "size");
  byId("sizes").hidden = seen.stage !== "size";
  byId("still").hidden = !(seen.stage === "map" || (seen.stage === "size" && seen.missing.length > 0));
  byId("ways-on").hidden = seen.stage === "nothing" || seen.stage === "reading";
  byId("outside").hidden = !seen.outside;
  byId("outside-said").textContent = seen.outside ? `The map on disk cannot be gone on with: ${seen.outside}. Mend map.toml; the table takes it up by itself.` : "";
  byId("news").textContent = seen.news ?? "";
  byId("broken").textContent = seen.refused ? `${sentence(seen.refused)}.` : "";
  const verdict = seen.says.find((line) => line.good !== null);
  byId("verdict").textContent = verdict?.sentence ?? "";
  byId("verdict").className = verdict?.good ? "good" : "bad";
  byId("told-section").hidden = seen.says.every((line) => line.good !== null);
  byId("told").replaceChildren(...seen.says.filter((line) => line.good === null).map((line) => Object.assign(document.createElement("li"), { textContent: line.sentence })));
  byId("size-stays").hidden = !seen["can-leave-size"];
  byId("other-size").hidden = seen.stage !== "map";
  for (const id of ["make", "undo", "again"]) byId(id).hidden = seen.stage !== "map" && !(id !== "make" && seen.stage === "broken");
  /** @type {HTMLButtonElement} */ (byId("make")).disabled = !seen["can-make"];
  /** @type {HTMLButtonElement} */ (byId("undo")).disabled = !seen["can-undo"];
  /** @type {HTMLButtonElement} */ (byId("again")).disabled = !seen["can-do-again"];
  saySizes(seen, (choice) => doIt("/bring/size", { size: choice }));
  sayMissing(seen, { keep, look: take });
  await layOut();
  await refresh(seen);
}

/** What is done one after the other: each press goes by what the one before it came to. @type {Promise<unknown>} */
let queue = Promise.resolve();
let waiting = 0;

/** Does something once all before it is done; until then the page says that it is busy. @template T @param {() => Promise<T>} what @returns {Promise<T>} */
function inTurn(what) {
  waiting += 1;
  document.body.setAttribute("aria-busy", "true");
  const done = queue.then(what).finally(() => {
    waiting -= 1;
    if (waiting === 0) document.body.removeAttribute("aria-busy");
  });
  queue = done.catch(() => null);
  return done;
}

/** Asks for a change, and shows what came of it, or why not. @param {string} path @param {object} wish */
const doIt = (path, wish) =>
  inTurn(async () => {
    byId("refused").textContent = "";
    try {
      await show(await ask(path, { revision: now.revision, ...wish }));
      return true;
    } catch (error) {
      sayError(error);
      return false;
    }
  });

/** @param {import("./words.js").Thing} thing */
const take = (thing) => inTurn(() => hold(thing));

/** @param {object} edit */
const keep = (edit) => doIt("/bring/keep", { edit });

/** Goes to the table, once the pattern is made. */
const make = () =>
  inTurn(async () => {
    try {
      await ask("/bring/make", { revision: now.revision });
      location.assign("/");
    } catch (error) {
      sayError(error);
    }
  });

/** @param {Iterable<File>} files */
async function takeFiles(files) {
  try {
    for (const file of files) {
      const answer = await answered(`/bring/drop/${encodeURIComponent(file.name)}`, { method: "POST", body: file });
      if (!answer.ok) throw new Error(answer.status === 413 ? `${file.name} is too large.` : `${file.name} could not be taken.`);
      const told = await answer.json();
      if (told.refused) throw new Error(`${sentence(told.refused)}.`);
    }
    const told = await ask("/bring/dropped", {});
    if (told.made) location.assign("/");
    else await show(told);
  } catch (error) {
    sayError(error);
  }
}

/** Files can be dropped anywhere on the page, as long as no drawing is there. */
function takeDrops() {
  const ground = byId("ground");
  addEventListener("dragover", (event) => {
    event.preventDefault();
    ground.classList.add("over");
  });
  addEventListener("dragleave", () => ground.classList.remove("over"));
  addEventListener("drop", (event) => {
    event.preventDefault();
    ground.classList.remove("over");
    const files = event.dataTransfer?.files ?? [];
    if (files.length > 0) takeFiles(files);
  });
  const field = /** @type {HTMLInputElement} */ (byId("files"));
  field.addEventListener("change", () => takeFiles(field.files ?? []));
}

/** Looks whether something is other than it is shown. */
async function lookAgain() {
  if (!document.hidden) {
    try {
      const { revision } = await ask("/bring/revision");
      if (revision !== now.revision && !isTyping()) await show(await ask("/bring/seen"));
    } catch {
      byId("news").textContent = "The table does not answer. What was kept is kept: start retrue table again and open its new address.";
    }
  }
  setTimeout(lookAgain, now.stage === "reading" ? WAITED : LOOKED);
}

const isTyping = () => document.activeElement instanceof HTMLInputElement && byId("fields").contains(document.activeElement) && document.activeElement.value !== document.activeElement.defaultValue;

onHand({ keep });
listen({ press: take, letGo });
takeDrops();
byId("let-go").addEventListener("click", letGo);
byId("make").addEventListener("click", make);
byId("undo").addEventListener("click", () => doIt("/bring/undo", {}));
byId("again").addEventListener("click", () => doIt("/bring/again", {}));
byId("one-size").addEventListener("click", () => doIt("/bring/size", { size: null }));
byId("other-size").addEventListener("click", () => doIt("/bring/sizes", {}));
byId("size-stays").addEventListener("click", () => doIt("/bring/size-stays", {}));
byId("drawing").addEventListener("click", () => take("drawing"));
byId("unlock").addEventListener("submit", async (event) => {
  event.preventDefault();
  const field = /** @type {HTMLInputElement} */ (byId("password"));
  await show(await ask("/bring/unlock", { password: field.value }));
  field.value = "";
});

await show(await ask("/bring/seen"));
lookAgain();
