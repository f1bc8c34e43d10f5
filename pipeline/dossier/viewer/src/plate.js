// The plate: the picture with its overlay at one side, the column of controls at the other.
import { axesGroup } from './controls/axes_group.js';
import { pictureBar } from './controls/bar.js';
import { partsGroup } from './controls/parts_group.js';
import { pointGroup } from './controls/point_group.js';
import { sectionGroup } from './controls/section_group.js';
import { viewGroup } from './controls/view_group.js';
import { HELP } from './keys.js';
import { fresh, make } from './make.js';

/** The canvas, as a reader of screens and keyboards finds it. */
export function makeCanvas(helpId) {
  return make('canvas', {
    class: 'sp-canvas',
    tabindex: '0',
    role: 'application',
    'aria-label': 'The ball in space',
    'aria-describedby': helpId,
  });
}

export const helpId = fresh('help');

/**
 * @param {object} parts of the plate
 * @param {HTMLCanvasElement} parts.canvas
 * @param {import('./overlay.js').Overlay} parts.overlay
 * @param {import('./space.js').Space} parts.space
 * @param {import('./store.js').Store} parts.store
 * @param {import('./glide.js').Glide} parts.glide
 * @param {import('./picks.js').Picks} parts.picks
 * @param {{save: () => void, reset: () => void}} parts.does
 */
export function makePlate({ canvas, overlay, space, store, glide, picks, does }) {
  const groups = [
    viewGroup(space.ball, glide),
    partsGroup(space.ball, store),
    sectionGroup(space, store),
    axesGroup(space.ball, store),
    pointGroup(store, picks),
  ];
  const stage = make('div', { class: 'sp-stage' }, canvas, overlay.element);
  const help = make('p', { class: 'sp-help', id: helpId });
  const element = make(
    'div',
    { class: 'sp-plate' },
    make('div', { class: 'sp-side' }, stage, pictureBar(space, store, glide, does), help),
    make('div', { class: 'sp-column' }, ...groups.map((group) => group.element)),
  );
  const refresh = (wish) => {
    for (const group of groups) group.refresh(wish);
    if (help.textContent !== HELP[wish.click]) help.textContent = HELP[wish.click];
    canvas.classList.toggle('sp-picking', wish.click !== 'turn');
  };
  refresh(store.now);
  store.listen(refresh);
  return { element, stage };
}
