// What a point, or two, tell: figures, and the sentence that says them.
import { degrees, figure, inches, millimetres, MM_PER_IN } from './numbers.js';
import { anglesOf, cross, dot, minus, size, times, unit } from './vectors.js';

const OUTER_MM = 0.15; // a point that is this near to the ball's surface, or nearer, lies on it
const NO_AXIS_MM = 0.05; // a point that is nearer to the centre of gravity names no axis

/**
 * A point that was picked.
 * @typedef {object} Point
 * @property {string} part
 * @property {boolean} face whether it lies on a section face
 * @property {boolean} outer whether it lies on the ball's outer surface
 * @property {number[]} at_mm in the ball's frame, of the ball when it is together
 * @property {number} radius_mm from the ball's centre
 * @property {number|null} rg_in about the axis through the centre of gravity and the point
 * @property {number} azimuth_deg from +X about +Z
 * @property {number} from_z_deg angle from +Z
 */

/**
 * @param {object} ball the scene
 * @param {{body: {name: string}, at: number[], face: boolean}} hit
 * @returns {Point}
 */
export function pointOf(ball, { body, at: met, face }) {
  const outer = !face && Math.abs(size(met) - ball.radius_mm) <= OUTER_MM;
  const at = outer ? times(unit(met), ball.radius_mm) : met;
  const arm = minus(at, ball.cg_mm);
  const { azimuth, elevation } = anglesOf(at);
  return {
    part: body.name,
    face,
    outer,
    at_mm: at,
    radius_mm: size(at),
    rg_in: size(arm) > NO_AXIS_MM ? rgAbout(ball, unit(arm)) / MM_PER_IN : null,
    azimuth_deg: azimuth,
    from_z_deg: 90 - elevation,
  };
}

/**
 * RG, mm, about an axis through the centre of gravity: the root of u.I.u / m.
 * @param {object} ball the scene
 * @param {number[]} axis a unit vector
 */
export function rgAbout(ball, axis) {
  const turned = ball.inertia_g_mm2.map((row) => dot(row, axis));
  return Math.sqrt(dot(axis, turned) / ball.mass_g);
}

/**
 * How far it is from one point to another: along the ball's surface when both lie on it.
 * @param {object} ball the scene
 * @param {Point} from
 * @param {Point} to
 */
export function spanOf(ball, from, to) {
  if (from.outer && to.outer) {
    const angle = Math.atan2(size(cross(from.at_mm, to.at_mm)), dot(from.at_mm, to.at_mm));
    return { way: 'arc', mm: ball.radius_mm * angle };
  }
  return { way: 'straight', mm: size(minus(to.at_mm, from.at_mm)) };
}

/**
 * Points along the great circle from one point of the surface to another, a little above it.
 * @param {number[]} from mm
 * @param {number[]} to mm
 * @param {number} radius of the arc, mm
 */
export function arcOf(from, to, radius) {
  const a = unit(from);
  const b = unit(to);
  const angle = Math.atan2(size(cross(a, b)), dot(a, b));
  const count = Math.max(1, Math.ceil(angle / 0.03));
  // antipodes have no one arc between them: any will do, and this one is through X or Y
  const aside = Math.abs(a[0]) < 0.9 ? [1, 0, 0] : [0, 1, 0];
  const flat =
    angle > Math.PI - 1e-6 ? minus(aside, times(a, dot(aside, a))) : minus(b, times(a, dot(a, b)));
  const along = angle < 1e-9 ? [0, 0, 0] : unit(flat);
  return Array.from({ length: count + 1 }, (_, k) => {
    const turn = (angle * k) / count;
    return a.map((x, i) => radius * (x * Math.cos(turn) + along[i] * Math.sin(turn)));
  });
}

const where = ({ part, face, outer }) =>
  `${part}${face ? ', section face' : outer ? ", the ball's surface" : ''}`;

/** What the RG of a point is about. */
export const RG_TOLD = 'The RG is that about the axis through the centre of gravity and the point.';

/**
 * The lines that tell of a point.
 * @param {Point} point
 * @returns {[string, string][]} each a name and what it is
 */
export function toldOf(point) {
  const rg = point.rg_in === null ? 'undefined, at the CG' : `${figure(point.rg_in, 4)} in`;
  // at the poles, and at the centre, an azimuth says nothing
  const turned = Math.hypot(point.at_mm[0], point.at_mm[1]) > NO_AXIS_MM;
  return [
    ['Part', where(point)],
    ['From centre', `${inches(point.radius_mm, 2)} (${millimetres(point.radius_mm, 1)})`],
    ['RG', rg],
    ['Azimuth', turned ? degrees(point.azimuth_deg, 1) : 'undefined'],
    ['From +Z', point.radius_mm > NO_AXIS_MM ? degrees(point.from_z_deg, 1) : 'undefined'],
  ];
}

/** The lines that tell of a distance. */
export function toldOfSpan(from, to, span) {
  const name = span.way === 'arc' ? 'Along surface' : 'Straight';
  return [
    ['From', where(from)],
    ['To', where(to)],
    [name, `${inches(span.mm, 2)} (${millimetres(span.mm, 1)})`],
  ];
}
