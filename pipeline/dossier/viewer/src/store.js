// What the reader has asked for, in one value that is replaced, never changed.
import { HOME } from './camera.js';

/**
 * @typedef {object} Wish
 * @property {import('./camera.js').View} view
 * @property {{shown: boolean, opacity: number}[]} parts inside out, as in the scene
 * @property {number} apart 0 together, 1 apart
 * @property {{way: string, azimuth: number, elevation: number, offset: number, removed: number}}
 *   section way: none, low, intermediate, high, x, y, z or free (by its angles, deg); offset: mm
 *   from the ball's centre; removed: 1 what lies beyond is cut away, -1 what lies below
 * @property {boolean} axes whether they are drawn, and so
 * @property {boolean} ellipsoid
 * @property {boolean} marks
 * @property {boolean} holes
 * @property {'turn'|'read'|'measure'} click what a click does
 * @property {{point: import('./readings.js').Point, rank: number}[]} picked and on which part
 * @property {[number, number]|null} cross where the cross-hair stands, pixels of the page
 */

/**
 * The ball whole but for a cut through its middle, towards the viewer.
 * @returns {Wish}
 */
export const firstWish = (ball) => ({
  view: { ...HOME },
  parts: ball.parts.map(() => ({ shown: true, opacity: 1 })),
  apart: 0,
  section: { way: 'y', azimuth: -58, elevation: 20, offset: 0, removed: -1 },
  axes: true,
  ellipsoid: false,
  marks: true,
  holes: true,
  click: 'turn',
  picked: [],
  cross: null,
});

export class Store {
  /** @param {Wish} first */
  constructor(first) {
    this.first = first;
    this.now = first;
    this.heard = [];
  }

  /** @param {(now: Wish, before: Wish) => void} listener */
  listen(listener) {
    this.heard.push(listener);
  }

  /** @param {Partial<Wish>} patch */
  set(patch) {
    const before = this.now;
    this.now = { ...before, ...patch };
    for (const listener of this.heard) listener(this.now, before);
  }
}
