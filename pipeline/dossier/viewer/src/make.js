// Elements of the page.  Words go in as text only, and nothing is styled by markup.

const SVG = 'http://www.w3.org/2000/svg';

/**
 * @param {string} name
 * @param {object} [about] attributes; class and for as they are called there; text; and listeners
 *   by their event's name after 'on'
 * @param {...(Node|string)} children
 */
export function make(name, about = {}, ...children) {
  return filled(document.createElement(name), about, children);
}

/** The same of a drawing. */
export function draw(name, about = {}, ...children) {
  return filled(document.createElementNS(SVG, name), about, children);
}

function filled(element, about, children) {
  for (const [key, value] of Object.entries(about)) {
    if (key === 'text') element.textContent = value;
    else if (key.startsWith('on')) element.addEventListener(key.slice(2), value);
    else if (value === true) element.setAttribute(key, '');
    else if (value !== false) element.setAttribute(key, value);
  }
  element.append(...children);
  return element;
}

let count = 0;

/** A name for an element that no other has. */
export const fresh = (word) => `space-${word}-${++count}`;
