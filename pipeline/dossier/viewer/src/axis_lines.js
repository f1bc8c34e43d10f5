// The principal axes as lines with heads: solid, dashed or double, so that they are told apart by
// the line first.  What lies within the ball is drawn faintly over what hides it.
import { ConeGeometry, Group, Mesh, Quaternion, Vector3, Vector4 } from 'three';
import { rgb } from './colours.js';
import { skinMaterials } from './skin_material.js';
import { dashes, polyline, Strokes } from './strokes.js';
import { plus, times } from './vectors.js';

const BEHIND = -1.1; // radii of the ball, from the centre of gravity
const TIP = 1.27;
const HEAD = 0.13;
const SOLID_PX = 3;
const DOUBLE_PX = 2;
const ASIDE_PX = 2.6;

/** Where an axis ends, mm. */
export const tipOf = (ball, axis) => plus(ball.cg_mm, times(axis.way, TIP * ball.radius_mm));

/** Where it leaves the ball, or nearly; mm. */
export const surfaceOf = (ball, axis) => plus(ball.cg_mm, times(axis.way, ball.radius_mm));

export class AxisLines {
  /**
   * @param {object} ball the scene
   * @param {object} shared values of the picture, for strokes
   */
  constructor(ball, shared) {
    this.group = new Group();
    this.coloured = [];
    for (const axis of ball.axes) if (axis.way) this.#add(ball, axis, shared);
  }

  #add(ball, axis, shared) {
    const radius = ball.radius_mm;
    const at = (share) => plus(ball.cg_mm, times(axis.way, share * radius));
    const [from, to] = [at(BEHIND), at(TIP - HEAD)];
    const pieces =
      axis.line === 'dashed'
        ? dashes(from, to, 0.085 * radius, 0.055 * radius)
        : polyline([from, to]);
    const sides = axis.line === 'double' ? [-ASIDE_PX, ASIDE_PX] : [0];
    const width = axis.line === 'double' ? DOUBLE_PX : SOLID_PX;
    for (const aside of sides) {
      for (const hidden of [false, true]) {
        const strokes = new Strokes(shared, {
          ink: rgb(axis.colour),
          width,
          hidden,
          opacity: hidden ? 0.3 : 1,
        });
        strokes.uniforms.aside.value = aside;
        strokes.draw(pieces);
        strokes.mesh.renderOrder = hidden ? 6001 : 6000;
        this.group.add(strokes.mesh);
        this.coloured.push([strokes.uniforms.ink, axis.name, 1]);
      }
    }
    const materials = skinMaterials(rgb(axis.colour), { value: new Vector4(0, 0, 0, 1) });
    const cone = new Mesh(new ConeGeometry(0.038 * radius, HEAD * radius, 24), materials.whole);
    materials.whole.transparent = true; // drawn with the lines, after every part
    cone.quaternion.copy(
      new Quaternion().setFromUnitVectors(new Vector3(0, 1, 0), new Vector3(...axis.way)),
    );
    cone.position.set(...at(TIP - HEAD / 2));
    cone.renderOrder = 5999;
    this.group.add(cone);
    this.coloured.push([materials.uniforms.tint, axis.name, 2]);
  }

  /** @param {Map<string, number[]>} colours by the axes' names */
  colour(colours) {
    for (const [uniform, name, power] of this.coloured) {
      uniform.value = colours.get(name).map((x) => x ** power);
    }
  }
}
