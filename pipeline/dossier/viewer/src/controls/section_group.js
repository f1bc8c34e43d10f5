// The group that cuts the ball by a plane.
import { fresh, make } from '../make.js';
import { degrees, figure, MM_PER_IN } from '../numbers.js';
import { facingSection, sectionChoices } from '../section_way.js';
import { slider } from './slider.js';

const STEP_IN = 0.01;

/**
 * @param {import('../space.js').Space} space
 * @param {import('../store.js').Store} store
 */
export function sectionGroup(space, store) {
  const { ball } = space;
  const change = (patch) => store.set({ section: { ...store.now.section, ...patch } });
  const id = fresh('section');
  const way = make(
    'select',
    {
      id,
      onchange: () =>
        store.set({
          section: facingSection(ball, store.now.section, way.value, space.camera.toward),
        }),
    },
    ...sectionChoices(ball).map(([value, text]) => make('option', { value, text })),
  );
  const most = Math.ceil(ball.radius_mm / MM_PER_IN / STEP_IN - 1e-9) * STEP_IN;
  const position = slider(
    'Position',
    { min: -most.toFixed(2), max: most.toFixed(2), step: STEP_IN },
    (value) => change({ offset: value * MM_PER_IN }),
  );
  const azimuth = slider('Azimuth', { min: -180, max: 180, step: 1 }, (value) =>
    change({ azimuth: value }),
  );
  const elevation = slider('Elevation', { min: -90, max: 90, step: 1 }, (value) =>
    change({ elevation: value }),
  );
  const swap = make('button', {
    type: 'button',
    text: 'Swap sides',
    onclick: () => change({ removed: -store.now.section.removed }),
  });
  const free = make('div', {}, azimuth.element, elevation.element);
  const more = make('div', {}, free, position.element, make('div', { class: 'sp-buttons' }, swap));
  const element = make(
    'fieldset',
    {},
    make('legend', { text: 'Section' }),
    make('div', { class: 'sp-field' }, make('label', { for: id, text: 'Plane' }), way),
    more,
  );
  const refresh = ({ section }) => {
    way.value = section.way;
    more.hidden = section.way === 'none';
    free.hidden = section.way !== 'free';
    const offset = section.offset / MM_PER_IN;
    position.refresh(Number(offset.toFixed(2)), `${figure(offset, 2)} in from the centre`);
    azimuth.refresh(section.azimuth, degrees(section.azimuth, 0));
    elevation.refresh(section.elevation, degrees(section.elevation, 0));
  };
  return { element, refresh };
}
