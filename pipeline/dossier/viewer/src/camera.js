// A parallel camera that stands in a direction from the ball; lengths square to the view are true.
import { Matrix4, OrthographicCamera } from 'three';
import { cross, dot, minus, plus, times, wayOf } from './vectors.js';

const LEAST_ZOOM = 0.4;
const MOST_ZOOM = 12; // closer, the meshes' triangles would be seen for what they are
const FAR = 5; // radii of the ball, between camera and ball's centre

/**
 * @typedef {object} View
 * @property {number} azimuth of the viewer, deg from +X about +Z
 * @property {number} elevation of the viewer, deg
 * @property {number} panX how far right of the ball's centre the picture's middle lies, mm
 * @property {number} panY how far above it
 * @property {number} zoom 1 shows all
 */

/** Where from; the names are those of the buttons. */
export const HOME = { azimuth: -58, elevation: 20, panX: 0, panY: 0, zoom: 1 };
export const SIDES = [
  ['Slanting', -58, 20],
  ['Front', -90, 0],
  ['Right', 0, 0],
  ['Back', 90, 0],
  ['Left', 180, 0],
  ['Above, at the pin', -90, 90],
  ['Below', -90, -90],
];

export class ParallelCamera {
  /** @param {number} radius of the ball, mm */
  constructor(radius) {
    this.radius = radius;
    this.three = new OrthographicCamera();
    this.three.near = 0;
    this.three.far = 2 * FAR * radius;
  }

  /** Stand where a view has it. @param {View} view */
  turn(view) {
    this.toward = wayOf(view.azimuth, view.elevation);
    this.right = wayOf(view.azimuth + 90, 0);
    this.up = cross(this.toward, this.right);
    const [r, u, t] = [this.right, this.up, this.toward];
    const turn = new Matrix4().set(
      r[0],
      u[0],
      t[0],
      0,
      r[1],
      u[1],
      t[1],
      0,
      r[2],
      u[2],
      t[2],
      0,
      0,
      0,
      0,
      1,
    );
    this.three.quaternion.setFromRotationMatrix(turn);
    this.three.position.set(...times(t, FAR * this.radius));
    this.three.updateMatrixWorld();
  }

  /**
   * Show so much.
   * @param {View} view
   * @param {{width: number, height: number}} stage pixels of the page
   * @param {{right: number, up: number}} reach mm that are seen either side of the middle at zoom 1
   */
  frame(view, stage, reach) {
    this.stage = stage;
    this.fitted = Math.max((2 * reach.right) / stage.width, (2 * reach.up) / stage.height);
    this.mmPerPixel = this.fitted / view.zoom;
    this.middle = [view.panX, view.panY];
    const across = (stage.width * this.mmPerPixel) / 2;
    const upward = (stage.height * this.mmPerPixel) / 2;
    this.three.left = view.panX - across;
    this.three.right = view.panX + across;
    this.three.bottom = view.panY - upward;
    this.three.top = view.panY + upward;
    this.three.updateProjectionMatrix();
  }

  /** How many units of depth in the picture a millimetre towards the viewer is. */
  get depthPerMm() {
    return 1 / (FAR * this.radius);
  }

  /** Where a point is seen: pixels of the page from the picture's upper left corner. */
  seen(point) {
    return [
      this.stage.width / 2 + (dot(this.right, point) - this.middle[0]) / this.mmPerPixel,
      this.stage.height / 2 - (dot(this.up, point) - this.middle[1]) / this.mmPerPixel,
    ];
  }

  /** The ray through a pixel of the page: a point before the ball, and the way it goes. */
  ray(x, y) {
    const right = this.middle[0] + (x - this.stage.width / 2) * this.mmPerPixel;
    const up = this.middle[1] - (y - this.stage.height / 2) * this.mmPerPixel;
    const flat = plus(times(this.right, right), times(this.up, up));
    const far = times(this.toward, FAR * this.radius);
    return { from: plus(flat, far), way: minus([0, 0, 0], this.toward) };
  }
}

/** A view zoomed by a factor about a pixel of the page, which stays where it is. */
export function zoomed(
  view,
  camera,
  factor,
  x = camera.stage.width / 2,
  y = camera.stage.height / 2,
) {
  const zoom = Math.min(MOST_ZOOM, Math.max(LEAST_ZOOM, view.zoom * factor));
  const before = camera.fitted / view.zoom;
  const gain = before - camera.fitted / zoom;
  return {
    ...view,
    zoom,
    panX: view.panX + (x - camera.stage.width / 2) * gain,
    panY: view.panY - (y - camera.stage.height / 2) * gain,
  };
}

/** A view turned by angles, deg; it never goes over the top. */
export function turned(view, azimuth, elevation) {
  let a = view.azimuth + azimuth;
  a -= 360 * Math.round(a / 360);
  return {
    ...view,
    azimuth: a,
    elevation: Math.min(90, Math.max(-90, view.elevation + elevation)),
  };
}

/** A view shifted, by pixels of the page that the ball moves. */
export function panned(view, camera, x, y) {
  return {
    ...view,
    panX: view.panX - x * camera.mmPerPixel,
    panY: view.panY + y * camera.mmPerPixel,
  };
}
