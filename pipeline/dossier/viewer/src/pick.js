// What a ray meets first: a skin that is not cut away, or a section face.
import { cross, dot, minus, plus, squareTo, times, unit } from './vectors.js';
import { isWithin } from './slicer.js';

const GRAZING = 0.2; // the sine of the angle below which a ray grazes a surface

/**
 * @typedef {object} Hit
 * @property {import('./body.js').Body} body
 * @property {number[]} at mm, in the part's own frame, which is the ball's
 * @property {boolean} face whether it lies on a section face
 * @property {number} far mm along the ray
 * @property {number} [triangle] of the skin that was met
 */

/**
 * The nearest surface that is shown and faces the ray.
 * @param {import('./body.js').Body[]} bodies
 * @param {import('./body.js').Plane|null} plane that they are cut by, each in its own frame
 * @param {number[]} from
 * @param {number[]} way a unit vector
 * @returns {Hit|null}
 */
export function nearest(bodies, plane, from, way) {
  let best = null;
  for (const body of bodies) {
    if (!body.shown || body.opacity === 0) continue;
    const start = minus(from, body.shift);
    const reach = best?.far ?? Infinity;
    const skin = skinMet(body.mesh, plane, start, way);
    const face = plane ? faceMet(body.slice, plane, start, way) : Infinity;
    if (face < reach && face <= skin.far) {
      best = { body, far: face, face: true, at: plus(start, times(way, face)) };
    } else if (skin.far < reach) {
      best = {
        body,
        far: skin.far,
        face: false,
        triangle: skin.triangle,
        at: plus(start, times(way, skin.far)),
      };
    }
  }
  return best;
}

/** How far a ray goes to the section face of a part, or Infinity. */
function faceMet(slice, { way: normal, offset, removed }, from, way) {
  const slope = dot(normal, way);
  if (slope * removed >= -1e-9) return Infinity; // from behind, or along it
  const far = (offset - dot(normal, from)) / slope;
  const at = plus(from, times(way, far));
  const [u, v] = squareTo(normal);
  return far > 0 && isWithin(slice.rings, dot(at, u), dot(at, v)) ? far : Infinity;
}

/**
 * How far a ray goes to the front of a mesh, or Infinity, and the triangle that it meets: every one
 * is tried, by Möller and Trumbore (1997, from memory).
 */
function skinMet({ corners, triangles }, plane, [px, py, pz], [wx, wy, wz]) {
  let best = Infinity;
  let triangle = -1;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t];
    const b = 3 * triangles[t + 1];
    const c = 3 * triangles[t + 2];
    const ax = corners[a];
    const ay = corners[a + 1];
    const az = corners[a + 2];
    const ex = corners[b] - ax;
    const ey = corners[b + 1] - ay;
    const ez = corners[b + 2] - az;
    const fx = corners[c] - ax;
    const fy = corners[c + 1] - ay;
    const fz = corners[c + 2] - az;
    const hx = wy * fz - wz * fy;
    const hy = wz * fx - wx * fz;
    const hz = wx * fy - wy * fx;
    const det = ex * hx + ey * hy + ez * hz;
    if (det <= 1e-12) continue; // turned away
    const sx = px - ax;
    const sy = py - ay;
    const sz = pz - az;
    const u = sx * hx + sy * hy + sz * hz;
    if (u < 0 || u > det) continue;
    const qx = sy * ez - sz * ey;
    const qy = sz * ex - sx * ez;
    const qz = sx * ey - sy * ex;
    const v = wx * qx + wy * qy + wz * qz;
    if (v < 0 || u + v > det) continue;
    const far = (fx * qx + fy * qy + fz * qz) / det;
    if (far <= 0 || far >= best) continue;
    if (plane) {
      const at = [px + far * wx, py + far * wy, pz + far * wz];
      if ((dot(plane.way, at) - plane.offset) * plane.removed > 0) continue;
    }
    best = far;
    triangle = t / 3;
  }
  return { far: best, triangle };
}

/**
 * Where a ray that meets a triangle meets the curved surface that its corners and their normals
 * tell of.  The surface rises above the triangle by half the mean of the heights of the three
 * tangent planes (Boubekeur and Alexa 2008, from memory), which is right to the second order.
 * @param {import('./unpack.js').PartMesh} mesh
 * @param {number} triangle
 * @param {number[]} at mm, on the triangle
 * @param {number[]} way of the ray, a unit vector
 */
export function onSurface({ corners, normals, triangles }, triangle, at, way) {
  const ids = [0, 1, 2].map((k) => triangles[3 * triangle + k]);
  const [a, b, c] = ids.map((id) => [...corners.subarray(3 * id, 3 * id + 3)]);
  const whole = cross(minus(b, a), minus(c, a));
  const square = dot(whole, whole);
  if (square === 0) return at;
  const share = (p, q) => dot(cross(minus(p, at), minus(q, at)), whole) / square;
  let moved = [0, 0, 0];
  [share(b, c), share(c, a), share(a, b)].forEach((weight, k) => {
    const normal = unit([...normals.subarray(3 * ids[k], 3 * ids[k] + 3)]);
    const rise = dot(normal, minus([a, b, c][k], at));
    moved = plus(moved, times(normal, 0.5 * weight * rise));
  });
  const up = unit(whole);
  const slope = dot(up, way);
  // along the ray, but where that grazes the surface straight up
  return slope < -GRAZING ? plus(at, times(way, dot(moved, up) / slope)) : plus(at, moved);
}
