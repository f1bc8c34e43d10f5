// A part in space: its skin, and where it is cut its face with hatching and outline.
//
// Front faces only are drawn, and every cut is capped: the two walls of a shared surface face
// opposite ways, so one of them is drawn at any place, and nothing flickers.  A see-through part is
// drawn into the depth first, so that one layer of it is seen and no sorting is needed.
import { BufferAttribute, BufferGeometry, Group, Mesh, Vector4 } from 'three';
import { closedMesh } from './closed_mesh.js';
import { rgb } from './colours.js';
import { faceOf } from './face.js';
import { faceMaterials, hatchOf } from './face_material.js';
import { skinMaterials } from './skin_material.js';
import { Slicer } from './slicer.js';
import { Strokes } from './strokes.js';
import { RADIANS, plus, squareTo, times } from './vectors.js';

const CLEAR = 0.995; // a part that is less opaque is drawn as see-through
const FIRST_CLEAR = 1000; // in the order of drawing

/** @typedef {{way: number[], offset: number, removed: number}} Plane removed: 1 beyond, -1 below */

export class Body {
  /**
   * @param {object} part of the scene
   * @param {number} rank counted inside out
   * @param {import('./unpack.js').PartMesh} mesh
   * @param {object} shared values of the picture, for strokes
   */
  constructor(part, rank, mesh, shared) {
    this.name = part.name;
    this.rank = rank;
    this.mesh = mesh;
    this.shown = true;
    this.opacity = 1;
    this.stale = false; // whether it is to be cut anew when it is shown
    this.slice = null;
    this.made = null; // its slicer
    const { middle, radius, outmost } = reachOf(mesh.corners);
    this.middle = middle;
    this.radius = radius;
    this.outmost = outmost;
    this.shift = [0, 0, 0]; // where it stands when taken apart
    this.plane = { value: new Vector4(0, 0, 1, 1e9) };
    this.group = new Group();

    const skin = new BufferGeometry();
    skin.setAttribute('position', new BufferAttribute(mesh.corners, 3));
    skin.setAttribute('normal', new BufferAttribute(mesh.normals, 3, true));
    skin.setIndex(new BufferAttribute(mesh.triangles, 1));
    const colour = rgb(part.colour);
    this.skins = skinMaterials(colour, this.plane);
    this.skin = this.#add(skin, this.skins.whole);
    this.skinDepth = this.#add(skin, this.skins.depths[0]);

    this.faces = faceMaterials(colour);
    this.face = this.#add(new BufferGeometry(), this.faces.face);
    this.faceDepth = this.#add(this.face.geometry, this.faces.depth);
    this.outline = new Strokes(shared, { ink: [0.1, 0.095, 0.085], width: 1 });
    this.group.add(this.outline.mesh);
    this.dress();
  }

  #add(geometry, material) {
    const mesh = new Mesh(geometry, material);
    mesh.frustumCulled = false;
    this.group.add(mesh);
    return mesh;
  }

  /** The mesh that slices are taken of, made when it is first wanted. */
  get slicer() {
    this.made ??= new Slicer(closedMesh(this.mesh));
    return this.made;
  }

  /**
   * Cut the part, or make it whole.
   * @param {Plane|null} plane in the part's own frame
   */
  cut(plane) {
    if (!plane) {
      this.slice = null;
      return;
    }
    const { way, offset, removed } = plane;
    this.plane.value.set(...times(way, removed), offset * removed);
    this.slice = this.slicer.at(way, offset);
    this.#fill(way, offset);
  }

  #fill(way, offset) {
    const [u, v] = squareTo(way);
    const { points, triangles } = faceOf(this.slice.rings);
    const place = (x, y) => [0, 1, 2].map((k) => x * u[k] + y * v[k] + offset * way[k]);
    const corners = new Float32Array((points.length / 2) * 3);
    for (let i = 0, j = 0; i < points.length; i += 2, j += 3) {
      corners.set(place(points[i], points[i + 1]), j);
    }
    const { geometry } = this.face;
    geometry.dispose();
    geometry.setAttribute('position', new BufferAttribute(corners, 3));
    geometry.setIndex(new BufferAttribute(new Uint32Array(triangles), 1));
    const { pitch, angle } = hatchOf(this.rank);
    const a = angle * RADIANS;
    this.faces.uniforms.across.value = times(
      plus(times(u, -Math.sin(a)), times(v, Math.cos(a))),
      1 / pitch,
    );
    const pieces = [];
    for (const ring of this.slice.rings) {
      let from = place(ring[ring.length - 2], ring[ring.length - 1]);
      for (let i = 0; i < ring.length; i += 2) {
        const to = place(ring[i], ring[i + 1]);
        pieces.push(...from, ...to);
        from = to;
      }
    }
    this.outline.draw(pieces);
  }

  get isClear() {
    return this.opacity < CLEAR;
  }

  /** Dress every mesh for what the part is now: shown, see-through, cut. */
  dress() {
    const clear = this.isClear;
    const cut = this.slice !== null;
    this.group.visible = this.shown;
    this.skin.material = cut ? this.skins.cut : this.skins.whole;
    this.skinDepth.material = this.skins.depths[cut ? 1 : 0];
    this.skinDepth.visible = clear;
    this.face.visible = cut;
    this.faceDepth.visible = cut && clear;
    this.outline.mesh.visible = cut && !this.outline.empty;
    this.skins.uniforms.opacity.value = this.opacity;
    this.faces.uniforms.opacity.value = this.opacity;
    for (const one of [this.skin, this.skinDepth, this.face, this.faceDepth]) {
      one.material.transparent = clear;
    }
    // what is solid is drawn from the outside in, so that least is drawn twice; what is
    // see-through from the inside out, each part whole before the next
    const first = clear ? FIRST_CLEAR + 10 * this.rank : -10 * this.rank;
    this.faceDepth.renderOrder = first;
    this.skinDepth.renderOrder = first;
    this.face.renderOrder = clear ? first + 1 : -10000 + first;
    this.skin.renderOrder = first + 1;
    this.outline.mesh.renderOrder = clear ? first + 2 : FIRST_CLEAR - 1;
  }
}

/** The middle of a part's box, its greatest distance from there and from the ball's centre; mm. */
function reachOf(corners) {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < corners.length; i += 3) {
    for (let k = 0; k < 3; k++) {
      low[k] = Math.min(low[k], corners[i + k]);
      high[k] = Math.max(high[k], corners[i + k]);
    }
  }
  const middle = low.map((x, k) => (x + high[k]) / 2);
  const farthest = ([x, y, z]) => {
    let square = 0;
    for (let i = 0; i < corners.length; i += 3) {
      const d = (corners[i] - x) ** 2 + (corners[i + 1] - y) ** 2 + (corners[i + 2] - z) ** 2;
      square = Math.max(square, d);
    }
    return Math.sqrt(square);
  };
  return { middle, radius: farthest(middle), outmost: farthest([0, 0, 0]) };
}
