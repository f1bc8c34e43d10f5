// Three numbers as a point or a way, in the ball frame: mm, Z up to the pin, right-handed.

/** @typedef {[number, number, number]} Vec */

export const RADIANS = Math.PI / 180;

export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const plus = (a, b) => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const minus = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const times = (a, k) => [a[0] * k, a[1] * k, a[2] * k];
export const size = (a) => Math.hypot(a[0], a[1], a[2]);
export const unit = (a) => times(a, 1 / size(a));
export const cross = (a, b) => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/**
 * The way that an azimuth from +X about +Z and an elevation above the XY plane point.
 * @param {number} azimuth deg
 * @param {number} elevation deg
 * @returns {Vec}
 */
export function wayOf(azimuth, elevation) {
  const a = azimuth * RADIANS;
  const e = elevation * RADIANS;
  return [Math.cos(e) * Math.cos(a), Math.cos(e) * Math.sin(a), Math.sin(e)];
}

/**
 * Azimuth and elevation of a way, deg; the azimuth is nought where it has none.
 * @param {Vec} way
 */
export function anglesOf(way) {
  const flat = Math.hypot(way[0], way[1]);
  return {
    azimuth: flat < 1e-9 ? 0 : Math.atan2(way[1], way[0]) / RADIANS,
    elevation: Math.atan2(way[2], flat) / RADIANS,
  };
}

/**
 * Two unit vectors square to a way and to one another, level where that can be; u x v = way.
 * @param {Vec} way a unit vector
 * @returns {[Vec, Vec]}
 */
export function squareTo(way) {
  const flat = Math.hypot(way[0], way[1]);
  const u = flat < 1e-6 ? [1, 0, 0] : [-way[1] / flat, way[0] / flat, 0];
  return [u, cross(way, u)];
}
