// @ts-check
// Making SVG elements without inline markup.

const space = "http://www.w3.org/2000/svg";

/**
 * @param {string} name
 * @param {Record<string, string | number>} attributes
 * @param {(Node | string)[]} children
 * @returns {SVGElement}
 */
export function svg(name, attributes, ...children) {
  const el = /** @type {SVGElement} */ (document.createElementNS(space, name));
  for (const [k, v] of Object.entries(attributes)) {
    el.setAttribute(k, typeof v === "number" ? v.toFixed(2) : v);
  }
  el.append(...children);
  return el;
}

/**
 * A line drawn twice: its dark casing below, itself above.
 * @param {string} name
 * @param {string} cls
 * @param {Record<string, string | number>} attributes
 */
export function cased(name, cls, attributes) {
  return [
    svg(name, { class: `${cls}-casing`, ...attributes }),
    svg(name, { class: cls, ...attributes }),
  ];
}
