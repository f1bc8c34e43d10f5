// The parts drawn apart along a line across the picture, inside out, each turning where it stands.
// The line also comes towards the viewer at its inner end, so that the inner parts pass before the
// outer ones and not through them.
import { dot, plus, times } from './vectors.js';

const GAP = 0.15; // of the ball's radius, between neighbours
const NEARER = 2; // radii of the ball, from neighbour to neighbour towards the viewer
const NEARER_ALL = 6; // and from the first to the last, at most
const AROUND = 1.36; // of the ball's radius: what a whole ball's axes and labels need

/**
 * Where the parts stand.
 * @param {{middle: number[], radius: number, shown: boolean}[]} bodies
 * @param {number} share 0 together, 1 apart: then no two overlap
 * @param {{right: number[], up: number[], toward: number[]}} axes of the picture
 * @param {boolean} upright whether the line runs up the picture, as in one that is taller than wide
 * @param {number} ball its radius, mm
 * @returns {{shifts: number[][], reach: {right: number, up: number}}} mm; reach: what must be seen
 *   either side of the middle
 */
export function standing(bodies, share, axes, upright, ball) {
  const whole = AROUND * ball;
  const seen = bodies.filter((body) => body.shown);
  if (share === 0 || seen.length === 0) {
    return { shifts: bodies.map(() => [0, 0, 0]), reach: { right: whole, up: whole } };
  }
  const line = upright ? axes.up : axes.right;
  const other = upright ? axes.right : axes.up;
  const length = seen.reduce((sum, body) => sum + 2 * body.radius, GAP * ball * (seen.length - 1));
  let at = -length / 2;
  let aside = 0;
  const step = Math.min(NEARER, NEARER_ALL / Math.max(1, seen.length - 1)) * ball;
  const shifts = new Map();
  for (const [k, body] of seen.entries()) {
    const middle = at + body.radius;
    at += 2 * body.radius + GAP * ball;
    // where its own middle lies along the line differs with the view, and is made up for
    const along = share * ((upright ? -middle : middle) - dot(line, body.middle));
    const nearer = share * step * ((seen.length - 1) / 2 - k);
    shifts.set(body, plus(times(line, along), times(axes.toward, nearer)));
    aside = Math.max(aside, Math.abs(dot(other, body.middle)) + body.radius);
  }
  const between = (a, b) => a + share * (b - a);
  const onward = between(whole, length / 2 + GAP * ball);
  const across = between(whole, aside + 2 * GAP * ball);
  return {
    shifts: bodies.map((body) => shifts.get(body) ?? [0, 0, 0]),
    reach: upright ? { right: across, up: onward } : { right: onward, up: across },
  };
}
