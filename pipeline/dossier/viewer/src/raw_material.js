// A material that is its own two programs and nothing of the library's.
import { GLSL3, RawShaderMaterial } from 'three';

/**
 * @param {{vertex: string, fragment: string}} programs
 * @param {object} uniforms may be shared with other materials
 * @param {object} [options] of the library's material
 */
export function rawMaterial({ vertex, fragment }, uniforms, options = {}) {
  const material = new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: vertex,
    fragmentShader: fragment,
    ...options,
  });
  material.uniforms = uniforms; // not copied, as the constructor would
  return material;
}
