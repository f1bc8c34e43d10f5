// A part's mesh with its corners welded and each triangle's neighbours known, for slicing.

/**
 * @typedef {object} ClosedMesh
 * @property {Float32Array} points mm, three each; no two at one place
 * @property {Uint32Array} triangles three points each, seen from outside
 * @property {Int32Array} twins for each side of a triangle (side 3t + k runs from its point k to
 *   the next) the side that runs along the same edge the other way; -1 where there is none
 */

/**
 * Weld a mesh.  Corners that were split for their normals lie on one place of the part's lattice,
 * so they are told by whole numbers.  Where faces met to within less than a step, rounding may have
 * put their corners on neighbouring places: those of sides without a twin are welded, too.
 * @param {import('./unpack.js').PartMesh} mesh
 * @returns {ClosedMesh}
 */
export function closedMesh({ grid, corners, triangles }) {
  const { ids, first } = weld(grid);
  const points = new Float32Array(3 * first.length);
  for (let i = 0; i < first.length; i++) {
    points.set(corners.subarray(3 * first[i], 3 * first[i] + 3), 3 * i);
  }
  const joined = proper(triangles, (corner) => ids[corner]);
  const twins = twinsOf(joined, first.length);
  const loose = loosePoints(joined, twins);
  if (loose.length === 0) return { points, triangles: joined, twins };
  const place = (id) => grid.subarray(3 * first[id], 3 * first[id] + 3);
  const moved = neighboursOf(loose, place);
  const mended = proper(joined, (id) => moved.get(id) ?? id);
  return { points, triangles: mended, twins: twinsOf(mended, first.length) };
}

/** Triangles of other points; flat ones, too small for the lattice, are left out. */
function proper(triangles, renamed) {
  const kept = new Uint32Array(triangles.length);
  let end = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = renamed(triangles[t]);
    const b = renamed(triangles[t + 1]);
    const c = renamed(triangles[t + 2]);
    if (a === b || b === c || c === a) continue;
    kept[end] = a;
    kept[end + 1] = b;
    kept[end + 2] = c;
    end += 3;
  }
  return kept.subarray(0, end);
}

/** The points at the ends of sides without a twin. */
function loosePoints(triangles, twins) {
  const found = new Set();
  for (let h = 0; h < twins.length; h++) {
    if (twins[h] >= 0) continue;
    found.add(triangles[h]);
    found.add(triangles[next(h)]);
  }
  return [...found];
}

/** For each point the first one that lies a step or less from it in every coordinate. */
function neighboursOf(loose, place) {
  const sorted = loose.map((id) => ({ id, at: place(id) })).sort((a, b) => a.at[0] - b.at[0]);
  const moved = new Map();
  sorted.forEach(({ id, at }, i) => {
    if (moved.has(id)) return;
    for (let j = i + 1; j < sorted.length && sorted[j].at[0] - at[0] <= 1; j++) {
      const other = sorted[j];
      const near = Math.abs(other.at[1] - at[1]) <= 1 && Math.abs(other.at[2] - at[2]) <= 1;
      if (near && !moved.has(other.id)) moved.set(other.id, id);
    }
  });
  return moved;
}

const next = (h) => (h % 3 === 2 ? h - 2 : h + 1);

/** For each corner the number of its place, and for each place the first corner there. */
function weld(grid) {
  const count = grid.length / 3;
  const bits = Math.max(4, Math.ceil(Math.log2(2 * count + 1)));
  const mask = 2 ** bits - 1;
  const table = new Int32Array(mask + 1).fill(-1);
  const ids = new Uint32Array(count);
  const first = new Uint32Array(count);
  let places = 0;
  for (let i = 0; i < count; i++) {
    const x = grid[3 * i];
    const y = grid[3 * i + 1];
    const z = grid[3 * i + 2];
    let slot = (Math.imul(x, 73856093) ^ Math.imul(y, 19349663) ^ Math.imul(z, 83492791)) >>> 0;
    slot = (slot ^ (slot >>> 15)) & mask;
    for (; ; slot = (slot + 1) & mask) {
      const id = table[slot];
      if (id < 0) {
        table[slot] = places;
        first[places] = i;
        ids[i] = places++;
        break;
      }
      const j = 3 * first[id];
      if (grid[j] === x && grid[j + 1] === y && grid[j + 2] === z) {
        ids[i] = id;
        break;
      }
    }
  }
  return { ids, first: first.slice(0, places) };
}

/** Sides are put into a box for each edge's lower point, and paired within the box. */
function twinsOf(triangles, count) {
  const sides = triangles.length;
  const lower = (h) => Math.min(triangles[h], triangles[next(h)]);
  const start = new Uint32Array(count + 1);
  for (let h = 0; h < sides; h++) start[lower(h) + 1]++;
  for (let i = 0; i < count; i++) start[i + 1] += start[i];
  const fill = start.slice();
  const boxed = new Uint32Array(sides);
  for (let h = 0; h < sides; h++) boxed[fill[lower(h)]++] = h;
  const twins = new Int32Array(sides).fill(-1);
  for (let i = 0; i < count; i++) {
    for (let k = start[i]; k < start[i + 1]; k++) {
      const h = boxed[k];
      if (twins[h] >= 0) continue;
      const a = triangles[h];
      const b = triangles[next(h)];
      for (let j = k + 1; j < start[i + 1]; j++) {
        const g = boxed[j];
        if (twins[g] < 0 && triangles[g] === b && triangles[next(g)] === a) {
          twins[h] = g;
          twins[g] = h;
          break;
        }
      }
    }
  }
  return twins;
}
