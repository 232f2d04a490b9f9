// Forms of what may be chosen of a print, a layout or a plan: made of the fields that the server tells.

/** @typedef {import("./ask.js").FormField} FormField */

/** An element with properties and what stands in it. @template {keyof HTMLElementTagNameMap} T @param {T} tag @param {Record<string, unknown>} [about] @param {(Node | string)[]} inside */
export function made(tag, about = {}, ...inside) {
  const element = Object.assign(document.createElement(tag), about);
  element.append(...inside);
  return element;
}

/** A button that does something. @param {string} says @param {() => void} does @param {string} [id] by which it is found again */
export function press(says, does, id = "") {
  const button = made("button", { type: "button", id }, says);
  button.addEventListener("click", does);
  return button;
}

/**
 * Puts other things in the place of those that are there: what is unfolded stays so, the hand goes on writing where it wrote, and what
 * is written and not kept yet is not lost. They are known by their ids.
 * @param {HTMLElement} at @param {Node[]} things
 */
export function putAnew(at, things) {
  const open = [...at.querySelectorAll("details[open]")].map(({ id }) => id);
  const written = /** @type {HTMLInputElement[]} */ ([...at.querySelectorAll("input.unsaid")]).map(({ id, value }) => ({ id, value }));
  const was = at.contains(document.activeElement) ? document.activeElement : null;
  const place = was instanceof HTMLInputElement ? /** @type {const} */ ([was.selectionStart, was.selectionEnd]) : null;
  at.replaceChildren(...things);
  const again = (/** @type {string | undefined} */ id) => (id ? at.querySelector(`#${CSS.escape(id)}`) : null);
  for (const id of open) again(id)?.setAttribute("open", "");
  for (const { id, value } of written) {
    const input = again(id);
    if (input instanceof HTMLInputElement) input.value = value;
  }
  if (!was) return;
  // Where what had the focus is gone, one goes on from where it was.
  at.tabIndex = -1;
  const found = again(was.id);
  const focused = found instanceof HTMLElement ? found : at;
  focused.focus({ preventScroll: true });
  if (focused instanceof HTMLInputElement && place) focused.setSelectionRange(...place);
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

/** Rows of a form: those of some names first, the others folded away, and what is seldom asked for within those. @param {FormField[]} fields @param {string} of @param {{ first?: string[], seldom?: string[] }} names */
export function rows(fields, of, { first = [], seldom = [] }) {
  const named = (/** @type {string[]} */ names) => names.flatMap((name) => fields.filter((field) => field.name === name)).map((field) => row(field, of));
  const folded = (/** @type {string} */ says, /** @type {Node[]} */ inside) => (inside.length > 0 ? [made("details", { className: "more" }, made("summary", {}, says), ...inside)] : []);
  const other = fields.filter(({ name }) => !first.includes(name) && !seldom.includes(name)).map((field) => row(field, of));
  return [...named(first), ...folded("What may be said besides", [...other, ...folded("To have the same found again, or another", named(seldom))])];
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
