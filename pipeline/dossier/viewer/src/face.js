// The face of a slice, filled with triangles.
import { Earcut } from 'three/src/extras/Earcut.js';
import { isWithin, ringArea } from './slicer.js';

const LEAST_MM2 = 1e-4; // a ring round less is no face

/**
 * @param {number[][]} rings of a slice
 * @returns {{points: number[], triangles: number[]}} points x, y ... in the plane, mm; triangles
 *   three points each
 */
export function faceOf(rings) {
  const sized = rings.map((ring) => ({ ring, area: ringArea(ring), holes: [] }));
  const outer = sized.filter((one) => one.area > LEAST_MM2).sort((a, b) => a.area - b.area);
  for (const hole of sized) {
    if (hole.area > -LEAST_MM2) continue;
    const [x, y] = hole.ring;
    const home = outer.find((one) => one.area > -hole.area && isWithin([one.ring], x, y));
    home?.holes.push(hole.ring);
  }
  const points = [];
  const triangles = [];
  for (const { ring, holes } of outer) {
    const base = points.length / 2;
    const flat = [ring, ...holes].flat();
    const starts = [];
    let count = ring.length / 2;
    for (const hole of holes) {
      starts.push(count);
      count += hole.length / 2;
    }
    for (const corner of Earcut.triangulate(flat, starts, 2)) triangles.push(base + corner);
    for (const x of flat) points.push(x);
  }
  return { points, triangles };
}
