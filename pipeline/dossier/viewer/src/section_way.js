// Which way a section is square to.
import { dot, wayOf } from './vectors.js';

const FIXED = { x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1] };

/**
 * The ways on offer: a word for each, and what it says.
 * @param {object} ball the scene
 * @returns {[string, string][]}
 */
export function sectionChoices(ball) {
  const axes = ball.axes.filter((axis) => axis.way);
  return [
    ['none', 'none'],
    ...axes.map(({ name }) => [name, `square to the ${name} axis`]),
    ['x', 'square to X'],
    ['y', 'square to Y'],
    ['z', 'square to Z'],
    ['free', 'free'],
  ];
}

/**
 * The plane of a section, or null.
 * @param {object} ball the scene
 * @param {import('./store.js').Wish['section']} section
 * @returns {import('./body.js').Plane|null}
 */
export function planeOf(ball, section) {
  if (section.way === 'none') return null;
  const { offset, removed } = section;
  const axis = ball.axes.find(({ name }) => name === section.way);
  const way = axis?.way ?? FIXED[section.way] ?? wayOf(section.azimuth, section.elevation);
  return { way, offset, removed };
}

/** A section in another way, with what lies towards the viewer cut away. */
export function facingSection(ball, section, way, toward) {
  const next = { ...section, way };
  const plane = planeOf(ball, next);
  return plane ? { ...next, removed: dot(plane.way, toward) >= -1e-9 ? 1 : -1 } : next;
}
