// An axis's line and a part's hatching as small drawings, beside their names.
import { draw } from './make.js';
import { hex, rgb } from './colours.js';
import { faceColours, hatchOf } from './face_material.js';

/**
 * On a dark page the page's style has another colour for it.
 * @param {{name: string, line: string, colour: string}} axis
 */
export function lineSample({ name, line, colour }) {
  const rows = line === 'double' ? [3.5, 8.5] : [6];
  const width = line === 'double' ? 1.8 : 2.8;
  const dash = line === 'dashed' ? { 'stroke-dasharray': '6 4' } : {};
  return draw(
    'svg',
    {
      class: `sp-line sp-line-${name}`,
      viewBox: '0 0 26 12',
      width: 26,
      height: 12,
      'aria-hidden': 'true',
    },
    ...rows.map((y) =>
      draw('line', { x1: 0, x2: 26, y1: y, y2: y, stroke: colour, 'stroke-width': width, ...dash }),
    ),
  );
}

/**
 * @param {string} colour of the part
 * @param {number} rank of the part
 */
export function swatch(colour, rank) {
  const { tint, ink } = faceColours(rgb(colour));
  const { pitch, angle } = hatchOf(rank);
  const step = pitch * 1.5;
  const rise = angle === 45 ? -18 : 18;
  const strokes = [];
  for (let x = -18; x <= 36; x += step) {
    strokes.push(
      draw('line', {
        x1: x,
        x2: x + 18,
        y1: 9 - rise / 2,
        y2: 9 + rise / 2,
        stroke: hex(ink),
        'stroke-width': 1,
      }),
    );
  }
  return draw(
    'svg',
    { class: 'sp-swatch', viewBox: '0 0 18 18', width: 18, height: 18, 'aria-hidden': 'true' },
    draw('rect', { width: 18, height: 18, fill: hex(tint) }),
    ...strokes,
  );
}
