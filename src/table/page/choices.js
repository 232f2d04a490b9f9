// Forms of what may be chosen of a print, a layout or a plan: made of the fields that the server tells.

/** @typedef {import("./ask.js").FormField} FormField */

/** An element with properties and what stands in it. @template {keyof HTMLElementTagNameMap} T @param {T} tag @param {Record<string, unknown>} [about] @param {(Node | string)[]} inside */
export function made(tag, about = {}, ...inside) {
  const element = Object.assign(document.createElement(tag), about);
  element.append(...inside);
  return element;
}

/** A button that does something. @param {string} says @param {() => void} does */
export function press(says, does) {
  const button = made("button", { type: "button" }, says);
  button.addEventListener("click", does);
  return button;
}

/** A row of a form. @param {FormField} field @param {string} of what the form is of */
export function row(field, of) {
  const id = `${of}-${field.name}`;
  const help = made("span", { id: `${id}-help`, className: "help" }, field.help);
  const input = field.closed ? made("select") : made("input", { type: "text", autocomplete: "off", spellcheck: false });
  Object.assign(input, { id, name: field.name });
  input.setAttribute("aria-describedby", help.id);
  const label = made("label", { htmlFor: id }, field.called);
  const paragraph = made("p", {}, label, input, help);
  if (input instanceof HTMLSelectElement) {
    const words = field.value ? field.words : ["", ...field.words];
    input.append(...words.map((word) => new Option(word || "not said", word)));
  } else if (field.words.length > 0) {
    const list = made("datalist", { id: `${id}-words` }, ...field.words.map((word) => new Option(word)));
    input.setAttribute("list", list.id);
    paragraph.append(list);
  }
  input.value = field.value;
  return paragraph;
}

/** Rows of a form: those of some names first, the others folded away. @param {FormField[]} fields @param {string} of @param {string[]} first */
export function rows(fields, of, first) {
  const shown = first.flatMap((name) => fields.filter((field) => field.name === name));
  const other = fields.filter((field) => !first.includes(field.name));
  const more = made("details", { className: "more" }, made("summary", {}, "What may be said besides"), ...other.map((field) => row(field, of)));
  return [...shown.map((field) => row(field, of)), ...(other.length > 0 ? [more] : [])];
}

/** What stands in the fields of a form. @param {HTMLFormElement} form @param {FormField[]} fields @returns {Record<string, string>} */
export function said(form, fields) {
  /** @type {Record<string, string>} */
  const values = {};
  for (const { name } of fields) {
    const input = /** @type {HTMLInputElement | null} */ (form.elements.namedItem(name));
    if (input && input.value.trim() !== "") values[name] = input.value.trim();
  }
  return values;
}
