// How skins are lit: by a hemisphere and two lamps beside the camera, with a soft shine.  It is
// worked out in squares of screen values, near enough to linear light, so that a root stands for
// the screen's curve.  Physically based materials and multisampling cost five times as much where
// a processor draws.
import { FrontSide, LessEqualDepth } from 'three';
import { rawMaterial } from './raw_material.js';

const VERTEX = `
in vec3 position;
in vec3 normal;
uniform mat4 modelViewMatrix;
uniform mat4 projectionMatrix;
uniform mat3 normalMatrix;
uniform vec4 plane; // what lies beyond it is cut away: xyz . position > w
out vec3 facing;
#ifdef CUT
out float beyond;
#endif
void main() {
  facing = normalMatrix * normal;
#ifdef CUT
  beyond = dot(plane.xyz, position) - plane.w;
#endif
  gl_Position = projectionMatrix * (modelViewMatrix * vec4(position, 1.0));
}`;

const FRAGMENT = `
precision highp float;
in vec3 facing;
#ifdef CUT
in float beyond;
#endif
uniform vec3 tint; // square of the screen's colour
uniform float opacity;
uniform float rim;
out vec4 shown;
void main() {
#ifdef CUT
  if (beyond > 0.0) discard;
#endif
  vec3 n = normalize(facing);
  float lit = 0.40 + 0.14 * n.y
    + 0.52 * max(dot(n, vec3(-0.448, 0.652, 0.611)), 0.0)
    + 0.22 * max(dot(n, vec3(0.769, 0.202, 0.607)), 0.0);
  float edge = 1.0 - max(n.z, 0.0);
  lit += rim * edge * edge * edge;
  float gleam = max(dot(n, vec3(-0.250, 0.363, 0.898)), 0.0);
  gleam *= gleam; gleam *= gleam; gleam *= gleam; gleam *= gleam; gleam *= gleam; gleam *= gleam;
  shown = vec4(sqrt(tint * lit + 0.12 * gleam), opacity);
}`;

/** How much light falls on edges; one for all bodies. */
export const rim = { value: 0 };

/**
 * The materials of a lit surface; they share their values.
 * @param {number[]} colour as on the screen, 0 to 1
 * @param {{value: import('three').Vector4}} plane
 */
export function skinMaterials(colour, plane) {
  const uniforms = { tint: { value: colour.map((x) => x * x) }, opacity: { value: 1 }, plane, rim };
  const make = (cut, colorWrite) =>
    rawMaterial({ vertex: VERTEX, fragment: FRAGMENT }, uniforms, {
      defines: cut ? { CUT: '' } : {},
      side: FrontSide,
      depthFunc: LessEqualDepth,
      colorWrite,
    });
  return {
    uniforms,
    whole: make(false, true),
    cut: make(true, true),
    depths: [make(false, false), make(true, false)],
  };
}
