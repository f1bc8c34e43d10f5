// The group of what is drawn beside the parts: axes, ellipsoid, marks, holes.
import { ellipsoidOf, ellipsoidTold } from '../ellipsoid.js';
import { lineSample } from '../line_sample.js';
import { fresh, make } from '../make.js';

/**
 * @param {object} ball the scene
 * @param {import('../store.js').Store} store
 */
export function axesGroup(ball, store) {
  const boxes = [];
  const check = (key, text) => {
    const id = fresh(key);
    const box = make('input', {
      type: 'checkbox',
      id,
      onchange: () => store.set({ [key]: box.checked }),
    });
    boxes.push([key, box]);
    return make('div', { class: 'sp-check' }, box, make('label', { for: id, text }));
  };
  const lines = ball.axes.map((axis) =>
    axis.way
      ? make('li', {}, lineSample(axis), make('span', { text: `${axis.name} RG ${axis.rg} in` }))
      : make('li', {
          class: 'sp-undefined',
          text: `${axis.name} RG ${axis.rg} in, axis undefined`,
        }),
  );
  const told = make('p', { class: 'sp-note', text: ellipsoidTold(ellipsoidOf(ball)) });
  const apart = make('p', {
    class: 'sp-note',
    text: 'Axes, marks and holes are drawn when the ball is together.',
  });
  const element = make(
    'fieldset',
    {},
    make('legend', { text: 'Axes' }),
    check('axes', 'Principal axes'),
    make('ul', { class: 'sp-axes' }, ...lines),
    check('ellipsoid', 'Inertia ellipsoid'),
    told,
    make(
      'div',
      { class: 'sp-checks' },
      check('marks', 'Marks'),
      ...(ball.holes.length ? [check('holes', 'Holes')] : []),
    ),
    apart,
  );
  const refresh = (wish) => {
    for (const [key, box] of boxes) box.checked = wish[key];
    told.hidden = !wish.ellipsoid;
    apart.hidden = wish.apart === 0;
  };
  return { element, refresh };
}
