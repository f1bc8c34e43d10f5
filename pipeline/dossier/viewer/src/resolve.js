// A picture drawn larger than it is shown, and averaged down: edges are smooth whatever makes them.
// Browsers that scale a canvas on the processor take the nearest pixel, so it is not left to them.
import {
  BufferAttribute,
  BufferGeometry,
  Camera,
  Mesh,
  NearestFilter,
  WebGLRenderTarget,
} from 'three';
import { rawMaterial } from './raw_material.js';

const VERTEX = `
in vec3 position;
void main() { gl_Position = vec4(position, 1.0); }`;

const FRAGMENT = `
precision highp float;
uniform sampler2D picture;
uniform int samples; // across a pixel, and as many down
out vec4 shown;
void main() {
  ivec2 first = ivec2(gl_FragCoord.xy) * samples;
  vec3 sum = vec3(0.0);
  for (int y = 0; y < samples; y++)
    for (int x = 0; x < samples; x++) sum += texelFetch(picture, first + ivec2(x, y), 0).rgb;
  shown = vec4(sum / float(samples * samples), 1.0);
}`;

export class Resolve {
  constructor() {
    this.uniforms = { picture: { value: null }, samples: { value: 1 } };
    const material = rawMaterial({ vertex: VERTEX, fragment: FRAGMENT }, this.uniforms, {
      depthTest: false,
      depthWrite: false,
    });
    const all = new BufferGeometry();
    all.setAttribute(
      'position',
      new BufferAttribute(new Float32Array([-1, -1, 0, 3, -1, 0, -1, 3, 0]), 3),
    );
    this.sheet = new Mesh(all, material);
    this.sheet.frustumCulled = false;
    this.camera = new Camera();
    this.target = null; // made when it is first wanted
  }

  /**
   * Draw a scene with so many samples across and down each pixel of the canvas.
   * @param {import('three').WebGLRenderer} renderer
   * @param {import('three').Scene} scene
   * @param {import('three').Camera} camera
   * @param {number} samples
   */
  draw(renderer, scene, camera, samples) {
    const { width, height } = renderer.domElement;
    this.target ??= new WebGLRenderTarget(1, 1, {
      magFilter: NearestFilter,
      minFilter: NearestFilter,
      generateMipmaps: false,
    });
    this.target.setSize(width * samples, height * samples);
    renderer.setRenderTarget(this.target);
    renderer.render(scene, camera);
    renderer.setRenderTarget(null);
    this.uniforms.picture.value = this.target.texture;
    this.uniforms.samples.value = samples;
    renderer.render(this.sheet, this.camera);
  }
}
