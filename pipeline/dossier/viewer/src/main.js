// The ball in space on a review page.  It runs at once, as the page's last script.
//
// What #space tells, for tests and for whoever is curious:
//   data-state    stills (nothing has run), ready (a full frame has been drawn), no-webgl (the
//                 browser has none, or has lost it, or cannot unpack), failed (the scene cannot be
//                 read, or drawing it failed); of the last two data-reason tells the error
//   data-frames   how many frames have been drawn
//   data-view     JSON {azimuth_deg, elevation_deg, mm_per_px, middle_mm: [right, up]}: the camera;
//                 middle_mm is what the picture's middle shows, from the ball's centre
//   data-section  JSON {normal, offset_mm, removed, faces: [{part, area_mm2, open}]} or null: the
//                 plane is normal . x = offset; removed 1: what lies beyond it, -1: below it; open
//                 counts chains of the cut that did not close, and must be 0
//   data-apart    JSON {share, shifts_mm: [[x, y, z], ...]}: where each part stands
//   data-reading  JSON of the last pick, or null: {mode: 'read', part, face, outer, at_mm,
//                 radius_mm, rg_in, azimuth_deg, from_z_deg} or {mode: 'measure', from, to, way:
//                 'arc' | 'straight', mm}, from and to being such points; to is null after one
// window.corewrightSpace has frame(), which draws one frame at full quality before it returns, and
// pick(x, y), which does what a click at a pixel of the picture does and returns data-reading.
import { fallBack } from './fallback.js';
import { start } from './start.js';

const root = document.getElementById('space');
const scene = document.getElementById('scene');
if (root && scene) {
  start(root, scene.textContent).catch((reason) => fallBack(root, reason));
}
delete window.__THREE__; // the library leaves its revision there
