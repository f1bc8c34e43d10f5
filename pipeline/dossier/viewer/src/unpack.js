// A part's mesh out of the page: base64, zlib, then positions, normals and indices as they lie.

/**
 * @typedef {object} PartMesh
 * @property {Uint16Array} grid corners on the part's own lattice, three each
 * @property {Float32Array} corners the same, mm in the ball frame
 * @property {Int8Array} normals three a corner, 127 long
 * @property {Uint16Array|Uint32Array} triangles three corners each, seen from outside
 */

/**
 * @param {object} part one of the scene's parts
 * @returns {Promise<PartMesh>}
 * @throws {Error} when it does not hold what it says
 */
export async function unpack(part) {
  const bytes = await inflated(bytesOf(part.data));
  const count = 3 * part.corners;
  const Index = part.index === 16 ? Uint16Array : Uint32Array;
  const start = Math.ceil((3 * count) / 4) * 4;
  const length = 3 * part.triangles;
  if (bytes.byteLength !== start + length * Index.BYTES_PER_ELEMENT) {
    throw new Error(`part '${part.name}' has another length than it says`);
  }
  const grid = new Uint16Array(bytes, 0, count);
  const normals = new Int8Array(bytes, 2 * count, count);
  const triangles = new Index(bytes, start, length);
  const corners = new Float32Array(count);
  for (let i = 0; i < count; i += 3) {
    for (let k = 0; k < 3; k++) corners[i + k] = part.offset[k] + part.scale[k] * grid[i + k];
  }
  for (let i = 0; i < length; i++) {
    if (triangles[i] >= part.corners) throw new Error(`part '${part.name}' lacks a corner`);
  }
  return { grid, corners, normals, triangles };
}

function bytesOf(text) {
  if (Uint8Array.fromBase64) return Uint8Array.fromBase64(text);
  const letters = atob(text);
  const bytes = new Uint8Array(letters.length);
  for (let i = 0; i < bytes.length; i++) bytes[i] = letters.charCodeAt(i);
  return bytes;
}

function inflated(bytes) {
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('deflate'));
  return new Response(stream).arrayBuffer();
}
