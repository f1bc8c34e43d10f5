// Mouse, wheel and fingers on the picture: one turns, two move and zoom, a short one picks.
import { panned, turned, zoomed } from './camera.js';

const DEGREES_PER_PIXEL = 0.4;
const STILL_PX = 4; // a press that moves less is a click
const PASSING_MS = 400; // a wheel that was turning the page goes on doing so

/**
 * @param {HTMLCanvasElement} canvas
 * @param {import('./space.js').Space} space
 * @param {import('./store.js').Store} store
 * @param {import('./glide.js').Glide} glide
 * @param {(x: number, y: number) => void} clicked with pixels of the page
 */
export function listenToHands(canvas, space, store, glide, clicked) {
  const held = new Map(); // pointers that are down: where they were last
  let moved = 0;
  let pans = false;
  const at = (event) => {
    const box = canvas.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  const look = (view) => store.set({ view });

  canvas.addEventListener('pointerdown', (event) => {
    if (held.size === 0) {
      moved = 0;
      pans = event.button !== 0 || event.shiftKey;
    }
    held.set(event.pointerId, at(event));
    canvas.setPointerCapture(event.pointerId);
    glide.stop();
  });

  canvas.addEventListener('pointermove', (event) => {
    const before = held.get(event.pointerId);
    if (!before) return;
    const now = at(event);
    const [dx, dy] = [now[0] - before[0], now[1] - before[1]];
    moved += Math.abs(dx) + Math.abs(dy);
    if (held.size === 1 && moved < STILL_PX) return;
    held.set(event.pointerId, now);
    const { view } = store.now;
    if (held.size === 1 && !pans)
      look(turned(view, -dx * DEGREES_PER_PIXEL, dy * DEGREES_PER_PIXEL));
    else if (held.size === 1) look(panned(view, space.camera, dx, dy));
    else look(pinched(view, event.pointerId, before, now));
  });

  /** Two fingers: the middle between them moves the ball, their distance zooms. */
  const pinched = (view, id, before, now) => {
    const [other] = [...held].filter(([key]) => key !== id).map(([, place]) => place);
    const apart = (a) => Math.max(10, Math.hypot(a[0] - other[0], a[1] - other[1]));
    const middle = [(now[0] + other[0]) / 2, (now[1] + other[1]) / 2];
    const shifted = panned(view, space.camera, (now[0] - before[0]) / 2, (now[1] - before[1]) / 2);
    return zoomed(shifted, space.camera, apart(now) / apart(before), ...middle);
  };

  const released = (event) => {
    if (!held.delete(event.pointerId) || held.size > 0) return;
    if (event.type === 'pointerup' && event.button === 0 && moved < STILL_PX) clicked(...at(event));
  };
  canvas.addEventListener('pointerup', released);
  canvas.addEventListener('pointercancel', released);
  canvas.addEventListener('contextmenu', (event) => event.preventDefault());

  let passing = -Infinity;
  addEventListener(
    'wheel',
    (event) => {
      if (event.target !== canvas) passing = event.timeStamp;
    },
    { passive: true, capture: true },
  );
  canvas.addEventListener(
    'wheel',
    (event) => {
      if (event.timeStamp - passing < PASSING_MS) {
        passing = event.timeStamp;
        return;
      }
      event.preventDefault();
      glide.stop();
      const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 30 : 1;
      look(zoomed(store.now.view, space.camera, 0.9985 ** (event.deltaY * lines), ...at(event)));
    },
    { passive: false },
  );
}
