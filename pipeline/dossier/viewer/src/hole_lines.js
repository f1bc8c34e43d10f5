// The axes of drilled holes, from before the ball's surface down to their depth, dashed.
import { Group } from 'three';
import { dashes, Strokes } from './strokes.js';
import { plus, times } from './vectors.js';

const OUT_MM = 14;

/** Where a hole's axis begins, outside of the ball, mm. */
export const headOf = (hole) => plus(hole.entry_mm, times(hole.way, -OUT_MM));

export class HoleLines {
  /**
   * @param {object} ball the scene
   * @param {object} shared values of the picture, for strokes
   */
  constructor(ball, shared) {
    this.group = new Group();
    this.inks = [];
    const pieces = ball.holes.flatMap((hole) =>
      dashes(headOf(hole), plus(hole.entry_mm, times(hole.way, hole.depth_mm)), 5, 2.5),
    );
    for (const hidden of [false, true]) {
      const strokes = new Strokes(shared, {
        ink: [0, 0, 0],
        width: 1.4,
        hidden,
        opacity: hidden ? 0.35 : 1,
      });
      strokes.draw(pieces);
      strokes.mesh.renderOrder = hidden ? 6001 : 6000;
      this.group.add(strokes.mesh);
      this.inks.push(strokes.uniforms.ink);
    }
  }

  /** @param {number[]} ink of the page */
  colour(ink) {
    for (const uniform of this.inks) uniform.value = ink;
  }
}
