// The line of a measurement: an arc on the ball's surface, or straight.
import { Group } from 'three';
import { arcOf } from './readings.js';
import { dashes, polyline, Strokes } from './strokes.js';
import { plus } from './vectors.js';

export class SpanLine {
  /** @param {object} shared values of the picture, for strokes */
  constructor(shared) {
    this.group = new Group();
    const line = (width, opacity, hidden, order) => {
      const strokes = new Strokes(shared, { ink: [0, 0, 0], width, hidden, opacity });
      strokes.mesh.renderOrder = order;
      this.group.add(strokes.mesh);
      return strokes;
    };
    // on a band of paper, since a part may have the line's own colour
    this.bands = [line(5.2, 1, false, 7002), line(5.2, 0.25, true, 7000)];
    this.lines = [line(2.4, 1, false, 7003), line(2.4, 0.6, true, 7001)];
  }

  /**
   * @param {number[]} ink
   * @param {number[]} ground
   */
  colour(ink, ground) {
    for (const strokes of this.lines) strokes.uniforms.ink.value = ink;
    for (const strokes of this.bands) strokes.uniforms.ink.value = ground;
  }

  /** Draw it between the points that are picked, where their parts stand. */
  draw({ click, picked }, bodies, ball) {
    const both = click === 'measure' && picked.length === 2;
    this.group.visible = both;
    if (!both) return;
    const [from, to] = picked.map(({ point, rank }) => plus(point.at_mm, bodies[rank].shift));
    const together = bodies[picked[0].rank].shift.every(
      (x, k) => x === bodies[picked[1].rank].shift[k],
    );
    let pieces = polyline([from, to]);
    if (!together) {
      pieces = dashes(from, to, 6, 4); // each point is on its own part, and that stands elsewhere
    } else if (picked.every(({ point }) => point.outer)) {
      const shift = bodies[picked[0].rank].shift;
      const arc = arcOf(picked[0].point.at_mm, picked[1].point.at_mm, 1.003 * ball.radius_mm);
      pieces = polyline(arc.map((point) => plus(point, shift)));
    }
    for (const strokes of [...this.bands, ...this.lines]) strokes.draw(pieces);
  }
}
