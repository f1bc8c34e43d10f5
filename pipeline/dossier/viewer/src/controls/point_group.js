// The group that says what a click does, and what was read.
import { fresh, make } from '../make.js';

const CHOICES = [
  ['turn', 'Turn'],
  ['read', 'Read a point'],
  ['measure', 'Measure'],
];

/**
 * @param {import('../store.js').Store} store
 * @param {import('../picks.js').Picks} picks
 */
export function pointGroup(store, picks) {
  const name = fresh('click');
  const radios = CHOICES.map(([value, text]) => {
    const id = fresh(value);
    const radio = make('input', {
      type: 'radio',
      id,
      name,
      value,
      onchange: () => store.set({ click: value }),
    });
    return {
      radio,
      element: make('div', { class: 'sp-check' }, radio, make('label', { for: id, text })),
    };
  });
  const output = make('output', { class: 'sp-reading', 'aria-live': 'polite' });
  const element = make(
    'fieldset',
    {},
    make('legend', { text: 'Point' }),
    make('div', { class: 'sp-checks' }, ...radios.map((one) => one.element)),
    output,
  );
  let shown = '';
  const refresh = (wish) => {
    for (const { radio } of radios) radio.checked = radio.value === wish.click;
    const { lines, note } = picks.told;
    const text = JSON.stringify([lines, note]);
    if (text === shown) return; // or it would be read out again
    shown = text;
    output.replaceChildren(
      ...lines.map(([what, value]) =>
        make(
          'span',
          { class: 'sp-told' },
          make('span', { text: `${what} ` }),
          make('b', { text: value }),
        ),
      ),
      ...(note ? [make('span', { class: 'sp-note', text: note })] : []),
    );
  };
  return { element, refresh };
}
