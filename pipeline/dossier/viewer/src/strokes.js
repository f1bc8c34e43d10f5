// Lines as wide as asked in pixels of the page, drawn as two triangles each; as instances they
// would take far longer where a processor draws.
import {
  BufferAttribute,
  BufferGeometry,
  DoubleSide,
  GreaterDepth,
  LessEqualDepth,
  Mesh,
} from 'three';
import { rawMaterial } from './raw_material.js';

const VERTEX = `
in vec3 position; // of this end
in vec3 onward; // from the start to the end
in vec2 place; // -1 at the start, 1 at the end; -1 to one side, 1 to the other
uniform mat4 modelViewMatrix;
uniform mat4 projectionMatrix;
uniform vec2 half_size; // of the picture, in pixels of the page
uniform float width;
uniform float aside;
uniform float lift;
void main() {
  gl_Position = projectionMatrix * (modelViewMatrix * vec4(position, 1.0));
  vec2 along = (projectionMatrix * (modelViewMatrix * vec4(onward, 0.0))).xy * half_size;
  float reach = length(along);
  along = reach > 1e-4 ? along / reach : vec2(1.0, 0.0);
  vec2 across = vec2(-along.y, along.x);
  vec2 shift = across * (0.5 * width * place.y + aside) + along * 0.3 * width * place.x;
  gl_Position.xy += shift / half_size;
  gl_Position.z -= lift;
}`;

const FRAGMENT = `
precision highp float;
uniform vec3 ink;
uniform float opacity;
out vec4 shown;
void main() { shown = vec4(ink, opacity); }`;

const CORNERS = [-1, -1, 1, -1, 1, 1, -1, 1];
const QUAD = [0, 1, 2, 0, 2, 3];

/** A set of lines of one colour and width. */
export class Strokes {
  /**
   * @param {{half_size: object, lift: object}} shared values of the picture
   * @param {{ink: number[], width: number, opacity?: number, hidden?: boolean}} look hidden: drawn
   *   where a surface lies before it, and only there
   */
  constructor(shared, { ink, width, opacity = 1, hidden = false }) {
    this.uniforms = {
      ...shared,
      ink: { value: ink },
      width: { value: width },
      aside: { value: 0 },
      opacity: { value: opacity },
    };
    const material = rawMaterial({ vertex: VERTEX, fragment: FRAGMENT }, this.uniforms, {
      side: DoubleSide,
      transparent: true,
      depthFunc: hidden ? GreaterDepth : LessEqualDepth,
      depthWrite: false, // where pieces of a line overlap, none hides a line that lies on them
    });
    this.mesh = new Mesh(new BufferGeometry(), material);
    this.mesh.frustumCulled = false;
    this.#room(64);
    this.draw([]);
  }

  /** @param {number[]} pieces x, y, z of a start, x, y, z of an end, and so on; mm */
  draw(pieces) {
    const count = pieces.length / 6;
    if (count > this.room) this.#room(2 * count);
    const { geometry } = this.mesh;
    const { position, onward } = geometry.attributes;
    for (let i = 0, k = 0; i < count; i++, k += 6) {
      for (let corner = 0; corner < 4; corner++) {
        const from = CORNERS[2 * corner] < 0 ? k : k + 3;
        const to = 12 * i + 3 * corner;
        for (let j = 0; j < 3; j++) {
          position.array[to + j] = pieces[from + j];
          onward.array[to + j] = pieces[k + 3 + j] - pieces[k + j];
        }
      }
    }
    for (const attribute of [position, onward]) {
      attribute.clearUpdateRanges();
      attribute.addUpdateRange(0, 12 * count);
      attribute.needsUpdate = true;
    }
    geometry.setDrawRange(0, 6 * count);
    this.empty = count === 0;
  }

  #room(count) {
    this.room = count;
    this.mesh.geometry.dispose();
    const geometry = new BufferGeometry();
    const fresh = () => new BufferAttribute(new Float32Array(12 * count), 3);
    geometry.setAttribute('position', fresh());
    geometry.setAttribute('onward', fresh());
    const places = Int8Array.from({ length: 8 * count }, (_, i) => CORNERS[i % 8]);
    geometry.setAttribute('place', new BufferAttribute(places, 2));
    geometry.setIndex(
      new BufferAttribute(
        Uint32Array.from({ length: 6 * count }, (_, i) => 4 * Math.floor(i / 6) + QUAD[i % 6]),
        1,
      ),
    );
    this.mesh.geometry = geometry;
  }
}

/** Pieces of a line through points that follow one another, for `Strokes.draw`. */
export function polyline(points) {
  const pieces = [];
  for (let i = 1; i < points.length; i++) pieces.push(...points[i - 1], ...points[i]);
  return pieces;
}

/** Pieces of a dashed line. */
export function dashes(from, to, dash, gap) {
  const length = Math.hypot(...from.map((x, k) => to[k] - x));
  const pieces = [];
  const at = (s) => from.map((x, k) => x + ((to[k] - x) * s) / length);
  for (let s = 0; s < length; s += dash + gap)
    pieces.push(...at(s), ...at(Math.min(s + dash, length)));
  return pieces;
}
