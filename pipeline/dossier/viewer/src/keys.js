// The picture by keyboard: turn, move, zoom; and a cross-hair where points are read.
import { HOME, panned, turned, zoomed } from './camera.js';

const TURN_DEG = 5;
const PAN_PX = 20;
const CLOSER = 1.15;
const STEP_PX = 10; // of the cross-hair; one with Shift

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/**
 * @param {HTMLCanvasElement} canvas
 * @param {import('./space.js').Space} space
 * @param {import('./store.js').Store} store
 * @param {import('./glide.js').Glide} glide
 * @param {import('./picks.js').Picks} picks
 */
export function listenToKeys(canvas, space, store, glide, picks) {
  const middle = () => [space.stage.width / 2, space.stage.height / 2];
  const look = (view) => {
    glide.stop();
    store.set({ view });
  };

  const move = ([x, y], shift) => {
    const { view, click, cross } = store.now;
    if (click !== 'turn') {
      const from = cross ?? middle();
      const step = shift ? 1 : STEP_PX;
      const inside = (value, most) => Math.min(most - 1, Math.max(1, value));
      store.set({
        cross: cross
          ? [
              inside(from[0] + x * step, space.stage.width),
              inside(from[1] + y * step, space.stage.height),
            ]
          : from,
      });
    } else if (shift) {
      look(panned(view, space.camera, x * PAN_PX, y * PAN_PX));
    } else {
      look(turned(view, -x * TURN_DEG, y * TURN_DEG)); // as dragging does
    }
  };

  const others = {
    '+': () => look(zoomed(store.now.view, space.camera, CLOSER)),
    '=': () => look(zoomed(store.now.view, space.camera, CLOSER)),
    '-': () => look(zoomed(store.now.view, space.camera, 1 / CLOSER)),
    Home: () => glide.to(HOME),
    Enter: () => picks.pick(...(store.now.cross ?? middle())),
    Escape: () => picks.clear(),
  };

  canvas.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const arrow = ARROWS[event.key];
    const other = others[event.key];
    if (!arrow && !other) return;
    if (['Enter', 'Escape'].includes(event.key) && store.now.click === 'turn') return;
    event.preventDefault();
    if (arrow) move(arrow, event.shiftKey);
    else other();
  });
}

/** What the hands and keys do, in words, for each thing that a click can do. */
export const HELP = {
  turn:
    'Drag to turn; drag with Shift, or with two fingers, to move; wheel or pinch to zoom. ' +
    'Keys: arrows turn, Shift and arrows move, + and \u2212 zoom, Home resets the view.',
  read:
    'Click a point to read it; dragging still turns. ' +
    'Keys: arrows move the cross-hair (with Shift, finely), Enter reads, Escape clears.',
  measure:
    'Click two points to measure between them; dragging still turns. ' +
    'Keys: arrows move the cross-hair (with Shift, finely), Enter sets a point, Escape clears.',
};
