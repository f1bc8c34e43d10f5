// The inertia ellipsoid: its half axes go as 1 / RG, as in x.I x = 1 (Poinsot), their differences
// drawn larger.  It is drawn over the parts, see-through, with its three principal sections.
import { BufferAttribute, BufferGeometry, Group, Mesh, Vector4 } from 'three';
import { rgb } from './colours.js';
import { rgAbout } from './readings.js';
import { skinMaterials } from './skin_material.js';
import { polyline, Strokes } from './strokes.js';
import { cross, dot, minus, plus, times, unit } from './vectors.js';

const LONGEST = 0.62; // of the ball's radius
const SHORTER = 0.3; // the least half axis is drawn shorter by this share of the longest
const ROUND = 1e-6; // a spread of half axes that is none
const COLOUR = '#8FA9A3';
const [ROWS, COLUMNS] = [48, 96];

/**
 * What is drawn.
 * @param {object} ball the scene
 * @returns {{ways: number[][], half: number[], times: number, round: boolean}} half axes, mm, and
 *   how many times their differences are drawn
 */
export function ellipsoidOf(ball) {
  const ways = frameOf(ball.axes.map((axis) => axis.way));
  const rgs = ways.map((way) => rgAbout(ball, way));
  const lengths = rgs.map((rg) => Math.min(...rgs) / rg);
  const spread = 1 - Math.min(...lengths);
  const round = spread <= ROUND;
  const factor = round ? 1 : Number((SHORTER / spread).toPrecision(1));
  const half = lengths.map((length) => LONGEST * ball.radius_mm * (1 - factor * (1 - length)));
  return { ways, half, times: factor, round };
}

/** The sentence that goes with it. */
export function ellipsoidTold({ times: factor, round }) {
  if (round) return 'The ellipsoid is round, since the RG is the same about every axis.';
  return (
    'The longer a half axis of the ellipsoid, the smaller the RG about it; ' +
    `differences are drawn ${factor} times as large.`
  );
}

/** Three unit vectors square to one another; where an axis is undefined, one that fits. */
function frameOf(ways) {
  const known = ways.filter(Boolean);
  if (known.length === 0)
    return [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ];
  const found = [...ways];
  for (let k = 0; k < 3; k++) {
    if (found[k]) continue;
    const others = found.filter(Boolean);
    if (others.length === 2) {
      found[k] = unit(cross(others[0], others[1]));
    } else {
      const [one] = others;
      const least = one.map(Math.abs).indexOf(Math.min(...one.map(Math.abs)));
      const aside = [0, 1, 2].map((i) => (i === least ? 1 : 0));
      found[k] = unit(minus(aside, times(one, dot(one, aside))));
    }
  }
  return found;
}

export class Ellipsoid {
  /**
   * @param {object} ball the scene
   * @param {object} shared values of the picture, for strokes
   */
  constructor(ball, shared) {
    this.drawn = ellipsoidOf(ball);
    const { ways, half } = this.drawn;
    const turn = (x) => [0, 1, 2].map((k) => ways.reduce((sum, way, i) => sum + x[i] * way[k], 0));
    const place = (x) => plus(ball.cg_mm, turn(x.map((value, i) => value * half[i])));
    this.group = new Group();
    const materials = skinMaterials(rgb(COLOUR), { value: new Vector4(0, 0, 0, 1) });
    materials.uniforms.opacity.value = 0.62;
    materials.whole.transparent = true;
    const skin = new Mesh(
      sphere(place, (x) => unit(turn(x.map((value, i) => value / half[i])))),
      materials.whole,
    );
    skin.frustumCulled = false;
    skin.renderOrder = 5000;
    skin.onBeforeRender = (renderer) => renderer.clearDepth(); // it is seen through the parts
    this.group.add(skin);
    const rings = new Strokes(shared, { ink: [0.12, 0.2, 0.2], width: 1.4, opacity: 0.8 });
    rings.draw(
      [0, 1, 2].flatMap((k) =>
        polyline(
          Array.from({ length: 97 }, (_, i) => {
            const a = (2 * Math.PI * i) / 96;
            const flat = [Math.cos(a), Math.sin(a)];
            flat.splice(k, 0, 0);
            return place(flat);
          }),
        ),
      ),
    );
    rings.mesh.renderOrder = 5001;
    this.group.add(rings.mesh);
  }
}

function sphere(place, normal) {
  const positions = [];
  const normals = [];
  const triangles = [];
  for (let i = 0; i <= ROWS; i++) {
    for (let j = 0; j <= COLUMNS; j++) {
      const up = (Math.PI * i) / ROWS;
      const round = (2 * Math.PI * j) / COLUMNS;
      const x = [Math.sin(up) * Math.cos(round), Math.sin(up) * Math.sin(round), Math.cos(up)];
      positions.push(...place(x));
      normals.push(...normal(x));
      if (i === ROWS || j === COLUMNS) continue;
      const a = i * (COLUMNS + 1) + j;
      const b = a + COLUMNS + 1;
      triangles.push(a, b, b + 1, a, b + 1, a + 1);
    }
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(new Float32Array(positions), 3));
  geometry.setAttribute('normal', new BufferAttribute(new Float32Array(normals), 3));
  geometry.setIndex(triangles);
  return geometry;
}
