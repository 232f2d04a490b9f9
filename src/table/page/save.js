// What is saved: the files of the folder, to be opened; the pattern on paper and the report, to be made.

import * as ask from "./ask.js";
import { made, press, rows, said } from "./choices.js";
import { byId, capital, item, why } from "./sentences.js";

/** @typedef {{ file: string, says: string }} Product */

/** The fields of a print. @type {import("./ask.js").FormField[]} */
let fields = [];

/** @param {Product} product */
function link({ file, says }) {
  // A drawing is looked at as large as the window; what stands in the folder is of true size.
  const to = made("a", { href: `/${file.endsWith(".svg") ? "fitted" : "saved"}/${file}`, target: "_blank", rel: "noopener" }, file);
  return made("li", {}, to, `: ${says}.`);
}

/** Says what there is, and what came of what was pressed. @param {{ files: Product[], told: import("./ask.js").Line[] }} saved */
function say(saved) {
  byId("saved").replaceChildren(...saved.files.map(link));
  byId("saved-told").replaceChildren(...saved.told.map(({ good, sentence }) => item({ good, sentence: /[.!?]$/.test(sentence) ? capital(sentence) : `${capital(sentence)}.` })));
}

/** @param {() => Promise<any>} what */
async function doIt(what) {
  byId("saved-told").replaceChildren(made("li", {}, "A moment."));
  try {
    say(await what());
  } catch (error) {
    byId("saved-told").replaceChildren(item({ good: false, sentence: why(error) }));
  }
}

/** Tells anew which files there are. */
export async function look() {
  try {
    const { files } = await ask.saved();
    byId("saved").replaceChildren(...files.map(link));
  } catch (error) {
    byId("saved-told").replaceChildren(item({ good: false, sentence: why(error) }));
  }
}

/** A field for what a bar measured. @param {string} id @param {string} says @param {string} size */
function bar(id, says, size) {
  const input = made("input", { id, type: "text", autocomplete: "off", placeholder: size });
  return made("p", { className: "bar" }, made("label", { htmlFor: id }, says), input);
}

/** Lays out the form of a print. */
export async function begin() {
  const form = await ask.paperForm();
  fields = form.fields;
  const bars = made("fieldset", {}, made("legend", {}, `If the printer is off: what its bars of ${form.bar} measured`), bar("bar-across", "across", form.bar), bar("bar-down", "down", form.bar));
  const paper = /** @type {HTMLFormElement} */ (byId("paper"));
  paper.replaceChildren(...rows(fields, "paper", { first: ["paper"] }), bars, made("button", { type: "submit" }, "Put the pattern on paper"));
  paper.addEventListener("submit", (event) => {
    event.preventDefault();
    const measured = ["bar-across", "bar-down"].map((id) => /** @type {HTMLInputElement} */ (byId(id)).value);
    doIt(() => ask.paper(said(paper, fields), measured));
  });
  byId("report").replaceChildren(press("Write the report", () => doIt(ask.report)));
  await look();
}
