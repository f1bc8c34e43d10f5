// The ball in space: what is drawn for a wish, and what a pixel meets.
import { Color, ColorManagement, Scene, WebGLRenderer } from 'three';
import { standing } from './apart.js';
import { AxisLines } from './axis_lines.js';
import { Body } from './body.js';
import { ParallelCamera } from './camera.js';
import { lightness } from './colours.js';
import { Ellipsoid } from './ellipsoid.js';
import { HoleLines } from './hole_lines.js';
import { nearest, onSurface } from './pick.js';
import { Resolve } from './resolve.js';
import { planeOf } from './section_way.js';
import { rim } from './skin_material.js';
import { SpanLine } from './span_line.js';
import { minus, plus, size, times } from './vectors.js';

ColorManagement.enabled = false; // colours are written as they are shown

const DARK_RIM = 0.9; // light at the edges of bodies, so that they stand out on a dark ground
const LINE_LIFT_MM = 0.4;
const FACE_LIFT_MM = 0.02; // by which neighbours' faces lie over one another, so none flickers
const OUTLINE_PX = 1.3;
const OUTLINE_MM = 0.2; // neighbours' meshes leave gaps of a tenth or so, which show from close by
const INNER_MM = 1; // a part that stays farther below the ball's surface is no part of its outside
const SEEN_MM = 1.2; // a surface that is no nearer than this hides no point of it

export class Space {
  /**
   * @param {object} ball the scene
   * @param {import('./unpack.js').PartMesh[]} meshes of its parts
   * @param {HTMLCanvasElement} canvas
   * @param {WebGL2RenderingContext} context its own
   */
  constructor(ball, meshes, canvas, context) {
    this.ball = ball;
    this.renderer = new WebGLRenderer({ canvas, context });
    this.renderer.debug.checkShaderErrors = false;
    this.renderer.setPixelRatio(1);
    this.scene = new Scene();
    this.resolve = new Resolve();
    this.camera = new ParallelCamera(ball.radius_mm);
    this.shared = {
      half_size: { value: [1, 1] },
      lift: { value: LINE_LIFT_MM * this.camera.depthPerMm },
    };
    this.bodies = ball.parts.map((part, k) => new Body(part, k, meshes[k], this.shared));
    this.bodies.forEach((body, k) => {
      const over = FACE_LIFT_MM * (this.bodies.length + 2 - k);
      body.faces.uniforms.lift.value = over * this.camera.depthPerMm;
      this.scene.add(body.group);
    });
    this.axisLines = new AxisLines(ball, this.shared);
    this.holeLines = new HoleLines(ball, this.shared);
    this.span = new SpanLine(this.shared);
    this.scene.add(this.axisLines.group, this.holeLines.group, this.span.group);
    this.stage = { width: 1, height: 1 };
    this.plane = null;
    this.size = '';
  }

  /**
   * Take the page's colours, three numbers from 0 to 1 each.
   * @param {{ground: number[], ink: number[], accent: number[],
   *   axes: Map<string, number[]>}} colours
   */
  paper({ ground, ink, accent, axes }) {
    this.renderer.setClearColor(new Color(...ground), 1);
    rim.value = lightness(ground) < 0.4 ? DARK_RIM : 0;
    this.axisLines.colour(axes);
    this.holeLines.colour(ink);
    this.span.colour(accent, ground);
  }

  /**
   * Set everything as wished; cuts anew only what has changed.
   * @param {import('./store.js').Wish} wish
   */
  follow(wish) {
    const { bodies, camera } = this;
    const before = this.wish;
    this.wish = wish;
    if (wish.parts !== before?.parts || wish.section !== before?.section) this.#dress(wish, before);
    camera.turn(wish.view);
    this.upright = this.stage.height > this.stage.width;
    const { shifts, reach } = standing(
      bodies,
      wish.apart,
      camera,
      this.upright,
      this.ball.radius_mm,
    );
    bodies.forEach((body, k) => {
      body.shift = shifts[k];
      body.group.position.set(...shifts[k]);
    });
    camera.frame(wish.view, this.stage, reach);
    // a ball that is solid through and through shows its faces and its outside, and no skin within
    const solid =
      wish.apart === 0 &&
      this.ball.holes.length === 0 &&
      bodies.every((one) => one.shown && !one.isClear);
    for (const body of bodies)
      body.skin.visible = !solid || body.outmost > this.ball.radius_mm - INNER_MM;
    // lines of the whole ball mean nothing among parts that are apart
    const whole = wish.apart === 0;
    this.axisLines.group.visible = wish.axes && whole;
    this.holeLines.group.visible = wish.holes && whole;
    if (wish.ellipsoid && !this.ellipsoid) {
      this.ellipsoid = new Ellipsoid(this.ball, this.shared);
      this.scene.add(this.ellipsoid.group);
    }
    if (this.ellipsoid) this.ellipsoid.group.visible = wish.ellipsoid && whole;
    this.span.draw(wish, bodies, this.ball);
  }

  #dress(wish, before) {
    this.plane = planeOf(this.ball, wish.section);
    this.bodies.forEach((body, k) => {
      const newly = !body.shown && wish.parts[k].shown;
      Object.assign(body, wish.parts[k]);
      if (newly || wish.section !== before?.section) body.stale = true;
      if (body.stale && body.shown) {
        body.cut(this.plane);
        body.stale = false;
      }
      body.dress();
    });
  }

  /** The section as it is, for whoever asks the page. */
  get section() {
    if (!this.plane) return null;
    const faces = this.bodies
      .filter((body) => body.shown)
      .map(({ name, slice }) => ({ part: name, area_mm2: slice.area_mm2, open: slice.open }));
    return {
      normal: this.plane.way,
      offset_mm: this.plane.offset,
      removed: this.plane.removed,
      faces,
    };
  }

  /**
   * Draw.
   * @param {number} ratio pixels of the picture for one of the page
   * @param {number} samples across each pixel of the picture, and as many down
   */
  draw(ratio, samples) {
    const { width, height } = this.stage;
    const wanted = `${width} ${height} ${ratio}`;
    if (wanted !== this.size) {
      this.size = wanted;
      this.renderer.setPixelRatio(ratio);
      this.renderer.setSize(width, height, false);
    }
    this.shared.half_size.value = [width / 2, height / 2];
    const outline = Math.max(OUTLINE_PX, OUTLINE_MM / this.camera.mmPerPixel);
    for (const body of this.bodies) {
      body.faces.uniforms.width.value = ratio * samples;
      body.outline.uniforms.width.value = outline;
    }
    if (samples > 1) this.resolve.draw(this.renderer, this.scene, this.camera.three, samples);
    else this.renderer.render(this.scene, this.camera.three);
  }

  /** When all that was asked of the renderer so far has been drawn. */
  async drawn() {
    const context = this.renderer.getContext();
    const fence = context.fenceSync(context.SYNC_GPU_COMMANDS_COMPLETE, 0);
    context.flush();
    const isDone = () =>
      context.isContextLost() ||
      context.getSyncParameter(fence, context.SYNC_STATUS) === context.SIGNALED;
    while (!isDone()) await new Promise((done) => setTimeout(done, 4));
    context.deleteSync(fence);
  }

  /** What a pixel of the page shows. */
  hit(x, y) {
    const { from, way } = this.camera.ray(x, y);
    const hit = nearest(this.bodies, this.plane, from, way);
    if (!hit || hit.face) return hit;
    return { ...hit, at: onSurface(hit.body.mesh, hit.triangle, hit.at, way) };
  }

  /** Whether nothing hides a point, mm, of what is drawn. */
  isSeen(point) {
    const start = plus(point, times(this.camera.toward, 10 * this.ball.radius_mm));
    const hit = nearest(this.bodies, this.plane, start, times(this.camera.toward, -1));
    return !hit || hit.far > size(minus(start, point)) - SEEN_MM;
  }
}
