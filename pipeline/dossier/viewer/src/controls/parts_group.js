// The group that shows, hides and fades parts, and takes the ball apart.
import { fresh, make } from '../make.js';
import { swatch } from '../line_sample.js';
import { slider } from './slider.js';

const LEAST = 10; // per cent: what is to be hidden has a box to untick

/**
 * @param {object} ball the scene
 * @param {import('../store.js').Store} store
 */
export function partsGroup(ball, store) {
  const change = (k, patch) => {
    store.set({
      parts: store.now.parts.map((part, i) => (i === k ? { ...part, ...patch } : part)),
    });
  };
  const rows = ball.parts.map(({ name, colour }, k) => {
    const id = fresh('part');
    const box = make('input', {
      type: 'checkbox',
      id,
      onchange: () => change(k, { shown: box.checked }),
    });
    const label = make('label', { for: id }, swatch(colour, k), make('span', { text: name }));
    const opacity = make('input', {
      type: 'range',
      min: LEAST,
      max: 100,
      step: 5,
      'aria-label': `Opacity of ${name}, per cent`,
      oninput: () => change(k, { opacity: opacity.valueAsNumber / 100 }),
    });
    const told = make('output', { 'aria-hidden': 'true' });
    const element = make('div', { class: 'sp-part' }, box, label, opacity, told);
    const refresh = ({ shown, opacity: share }) => {
      box.checked = shown;
      opacity.value = 100 * share;
      opacity.disabled = !shown;
      told.textContent = `${Math.round(100 * share)} %`;
    };
    return { element, refresh };
  });
  const apart = slider('Take apart', { min: 0, max: 100, step: 1 }, (value) =>
    store.set({ apart: value / 100 }),
  );
  const element = make(
    'fieldset',
    {},
    make('legend', { text: 'Parts' }),
    make(
      'div',
      { class: 'sp-heads', 'aria-hidden': 'true' },
      make('span', { text: 'shown' }),
      make('span', { text: 'opacity' }),
    ),
    ...rows.map((row) => row.element),
    apart.element,
  );
  const refresh = (wish) => {
    rows.forEach((row, k) => row.refresh(wish.parts[k]));
    const share = Math.round(100 * wish.apart);
    apart.refresh(share, `${share} %`);
  };
  return { element, refresh };
}
