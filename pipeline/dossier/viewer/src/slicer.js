// A closed mesh cut by a plane: closed rings, and their area.
import { dot, squareTo } from './vectors.js';

const NEAR_MM = 1e-4; // points of a ring that are nearer than this are one

/**
 * @typedef {object} Slice
 * @property {number[][]} rings each x, y, x, y ... in the plane, mm; round material they run
 *   counter-clockwise seen against the normal, round a hole in it clockwise
 * @property {number} area_mm2 of the material
 * @property {number} open chains that did not close: none of a sound mesh
 */

/** Cuts a mesh again and again; one along the same way as the last looks at few triangles. */
export class Slicer {
  /** @param {import('./closed_mesh.js').ClosedMesh} mesh */
  constructor(mesh) {
    this.mesh = mesh;
    this.heights = new Float32Array(mesh.points.length / 3);
    this.stamps = new Uint32Array(mesh.triangles.length / 3);
    this.stamp = 0;
    this.way = null;
    this.layers = null;
  }

  /**
   * @param {import('./vectors.js').Vec} way the plane's normal, a unit vector
   * @param {number} offset mm from the ball's centre along it
   * @returns {Slice}
   */
  at(way, offset) {
    const same = this.way !== null && dot(this.way, way) > 1 - 1e-15;
    if (!same) this.#aim(way);
    else this.layers ??= layersOf(this.mesh.triangles, this.heights);
    const [u, v] = squareTo(this.way);
    this.stamp++;
    const found = { rings: [], area_mm2: 0, open: 0 };
    const look = (t) => {
      if (this.stamps[t] !== this.stamp && this.#exit(t, offset) >= 0) {
        this.#follow(t, offset, u, v, found);
      }
    };
    if (this.layers) this.layers.each(offset, look);
    else for (let t = 0; t < this.stamps.length; t++) look(t);
    return found;
  }

  #aim(way) {
    this.way = [...way];
    this.layers = null;
    const { points } = this.mesh;
    const [x, y, z] = way;
    for (let i = 0, k = 0; i < this.heights.length; i++, k += 3) {
      this.heights[i] = x * points[k] + y * points[k + 1] + z * points[k + 2];
    }
  }

  /** The side of a triangle that rises through the plane, or -1. A point in the plane is above. */
  #exit(t, offset) {
    const { triangles } = this.mesh;
    const h = 3 * t;
    const a = this.heights[triangles[h]] >= offset;
    const b = this.heights[triangles[h + 1]] >= offset;
    const c = this.heights[triangles[h + 2]] >= offset;
    if (!a && b) return h;
    if (!b && c) return h + 1;
    return !c && a ? h + 2 : -1;
  }

  /** From triangle to triangle across rising sides, until the first one comes again. */
  #follow(first, offset, u, v, found) {
    const { points, triangles, twins } = this.mesh;
    const ring = [];
    let t = first;
    for (;;) {
      this.stamps[t] = this.stamp;
      const side = this.#exit(t, offset);
      if (side < 0) break;
      const a = triangles[side];
      const b = triangles[side % 3 === 2 ? side - 2 : side + 1];
      const share = (offset - this.heights[a]) / (this.heights[b] - this.heights[a]);
      const at = [0, 1, 2].map(
        (k) => points[3 * a + k] + share * (points[3 * b + k] - points[3 * a + k]),
      );
      add(ring, dot(at, u), dot(at, v));
      const twin = twins[side];
      t = twin < 0 ? -1 : Math.floor(twin / 3);
      if (t < 0 || this.stamps[t] === this.stamp) break;
    }
    if (t !== first) found.open++;
    const end = ring.length;
    if (end > 2 && near(ring[0], ring[1], ring[end - 2], ring[end - 1])) ring.length -= 2;
    if (ring.length < 6) return;
    found.rings.push(ring);
    found.area_mm2 += ringArea(ring);
  }
}

const near = (x, y, p, q) => Math.abs(x - p) < NEAR_MM && Math.abs(y - q) < NEAR_MM;

function add(ring, x, y) {
  const end = ring.length;
  if (end === 0 || !near(x, y, ring[end - 2], ring[end - 1])) ring.push(x, y);
}

/** Signed area of a ring, mm2: positive when it runs counter-clockwise. */
export function ringArea(ring) {
  let twice = 0;
  let x = ring[ring.length - 2];
  let y = ring[ring.length - 1];
  for (let i = 0; i < ring.length; i += 2) {
    twice += x * ring[i + 1] - ring[i] * y;
    x = ring[i];
    y = ring[i + 1];
  }
  return twice / 2;
}

/** Whether a point lies within rings, by the even-odd rule. */
export function isWithin(rings, x, y) {
  let within = false;
  for (const ring of rings) {
    let p = ring[ring.length - 2];
    let q = ring[ring.length - 1];
    for (let i = 0; i < ring.length; i += 2) {
      const a = ring[i];
      const b = ring[i + 1];
      if (b > y !== q > y && x < ((p - a) * (y - b)) / (q - b) + a) within = !within;
      p = a;
      q = b;
    }
  }
  return within;
}

/** Triangles by the layers of height that they reach through. */
function layersOf(triangles, heights) {
  let low = Infinity;
  let high = -Infinity;
  for (const z of heights) {
    low = Math.min(low, z);
    high = Math.max(high, z);
  }
  const count = Math.max(1, Math.min(512, Math.ceil(Math.sqrt(triangles.length / 3))));
  const layer = (z) => Math.min(count - 1, Math.floor(((z - low) / (high - low || 1)) * count));
  const start = new Uint32Array(count + 1);
  const spans = new Uint16Array((2 * triangles.length) / 3);
  for (let t = 0, h = 0; h < triangles.length; t += 2, h += 3) {
    const a = heights[triangles[h]];
    const b = heights[triangles[h + 1]];
    const c = heights[triangles[h + 2]];
    spans[t] = layer(Math.min(a, b, c));
    spans[t + 1] = layer(Math.max(a, b, c));
    for (let k = spans[t]; k <= spans[t + 1]; k++) start[k + 1]++;
  }
  for (let k = 0; k < count; k++) start[k + 1] += start[k];
  const fill = start.slice();
  const boxed = new Uint32Array(start[count]);
  for (let t = 0; t < spans.length; t += 2) {
    for (let k = spans[t]; k <= spans[t + 1]; k++) boxed[fill[k]++] = t / 2;
  }
  const each = (offset, look) => {
    if (offset < low || offset > high) return;
    const k = layer(offset);
    for (let i = start[k]; i < start[k + 1]; i++) look(boxed[i]);
  };
  return { each };
}
