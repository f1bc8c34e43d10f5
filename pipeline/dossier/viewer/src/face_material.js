// How section faces are drawn: flat, in the part's colour, with hatching.
import { DoubleSide, LessEqualDepth } from 'three';
import { lightness } from './colours.js';
import { rawMaterial } from './raw_material.js';

const VERTEX = `
in vec3 position;
uniform mat4 modelViewMatrix;
uniform mat4 projectionMatrix;
uniform vec3 across; // square to the strokes, in the plane, as long as 1 / pitch
uniform float lift; // towards the viewer, in the depth of the picture
out float stroke;
void main() {
  stroke = dot(across, position);
  gl_Position = projectionMatrix * (modelViewMatrix * vec4(position, 1.0));
  gl_Position.z -= lift;
}`;

const FRAGMENT = `
precision highp float;
in float stroke;
uniform vec3 tint;
uniform vec3 ink;
uniform float width; // of a stroke, in the picture's own pixels
uniform float opacity;
out vec4 shown;
void main() {
  float pixel = fwidth(stroke);
  float away = abs(fract(stroke) - 0.5) / max(pixel, 1e-6);
  float drawn = clamp(0.5 * width + 0.5 - away, 0.0, 1.0);
  // strokes that are a few pixels apart, or less, become a tone
  drawn = mix(drawn, min(width * pixel, 1.0), smoothstep(0.2, 0.45, pixel));
  shown = vec4(mix(tint, ink, drawn), opacity);
}`;

// strokes of neighbours run either way and are spaced differently, so that grey tells them apart
const PITCHES_MM = [4.2, 5.6, 3.2, 6.8, 4.9, 3.7];

/** How the k-th part's faces are hatched: pitch, mm, and the angle of the strokes, deg. */
export const hatchOf = (k) => ({
  pitch: PITCHES_MM[k % PITCHES_MM.length],
  angle: k % 2 ? 135 : 45,
});

/** The colour of a part's section face, and of the strokes on it. */
export function faceColours(colour) {
  const tint = colour.map((x) => x + 0.1 * (1 - x));
  const deep = lightness(tint) < 0.4;
  const ink = tint.map((x) => (deep ? x + 0.34 * (1 - x) : 0.58 * x));
  return { tint, ink };
}

/**
 * The materials of a section face.
 * @param {number[]} colour of the part
 */
export function faceMaterials(colour) {
  const { tint, ink } = faceColours(colour);
  const uniforms = {
    tint: { value: tint },
    ink: { value: ink },
    opacity: { value: 1 },
    across: { value: [1, 0, 0] },
    lift: { value: 0 },
    width: { value: 1 },
  };
  const make = (colorWrite) =>
    rawMaterial({ vertex: VERTEX, fragment: FRAGMENT }, uniforms, {
      side: DoubleSide,
      depthFunc: LessEqualDepth,
      colorWrite,
    });
  return { uniforms, face: make(true), depth: make(false) };
}
