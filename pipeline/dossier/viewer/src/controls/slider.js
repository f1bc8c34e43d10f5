// A slider under its name, with what it stands at in words.
import { fresh, make } from '../make.js';

/**
 * @param {string} name
 * @param {{min: number, max: number, step: number}} range
 * @param {(value: number) => void} changed
 */
export function slider(name, range, changed) {
  const id = fresh('slider');
  const input = make('input', {
    type: 'range',
    id,
    ...range,
    oninput: () => changed(input.valueAsNumber),
  });
  const told = make('output', { for: id, 'aria-hidden': 'true' });
  const element = make(
    'div',
    { class: 'sp-slider' },
    make('label', { for: id, text: name }),
    told,
    input,
  );
  const refresh = (value, text) => {
    if (input.valueAsNumber !== value) input.value = value;
    if (told.textContent !== text) told.textContent = text;
    input.setAttribute('aria-valuetext', text);
  };
  return { element, input, refresh };
}
