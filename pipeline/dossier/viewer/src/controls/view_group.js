// The group that says from where the ball is looked at.
import { SIDES } from '../camera.js';
import { make } from '../make.js';
import { anglesOf } from '../vectors.js';

/**
 * @param {object} ball the scene
 * @param {import('../glide.js').Glide} glide
 */
export function viewGroup(ball, glide) {
  const from = (azimuth, elevation) => glide.to({ azimuth, elevation, panX: 0, panY: 0, zoom: 1 });
  const button = (text, onclick) => make('button', { type: 'button', text, onclick });
  const sides = SIDES.map(([name, azimuth, elevation]) =>
    button(name, () => from(azimuth, elevation)),
  );
  const axes = ball.axes
    .filter((axis) => axis.way)
    .map(({ name, way }) =>
      button(`${name[0].toUpperCase()}${name.slice(1)} axis`, () => {
        const { azimuth, elevation } = anglesOf(way);
        // up the pole every azimuth will do; the one of the front has X to the right
        from(elevation > 89.99 ? -90 : azimuth, elevation);
      }),
    );
  const element = make(
    'fieldset',
    {},
    make('legend', { text: 'View' }),
    make('div', { class: 'sp-buttons' }, ...sides, ...axes),
  );
  return { element, refresh() {} };
}
