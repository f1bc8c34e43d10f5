"""Swirls of a second colour through a part, worked out by the renderer at every pixel.

Noise on a lattice of hashed values (Perlin's lattice noise with values instead of slopes; hash:
Jarzynski and Olano 2020, pcg3d; both from memory), bent by more of itself, as stirred resin is.  It
is a function of the place alone, so that it has no seam, no pole and no size of its own.
"""

from __future__ import annotations

from pipeline.palette import rgb
from pipeline.scene import Pour

ROUGHNESS = {"solid": 0.42, "pearl": 0.30, "hybrid": 0.36}
_NOISE = """
uvec3 stirred(uvec3 v) {
  v = v * 1664525u + 1013904223u;
  v.x += v.y * v.z; v.y += v.z * v.x; v.z += v.x * v.y;
  v ^= v >> 16u;
  v.x += v.y * v.z; v.y += v.z * v.x; v.z += v.x * v.y;
  return v;
}
float speck(vec3 cell) {
  return float(stirred(uvec3(ivec3(cell) + 4096)).x >> 8u) / 16777216.0;
}
float grain(vec3 p) {
  vec3 low = floor(p), f = p - low;
  f = f * f * f * (f * (f * 6.0 - 15.0) + 10.0);
  float near = mix(mix(speck(low), speck(low + vec3(1, 0, 0)), f.x),
                   mix(speck(low + vec3(0, 1, 0)), speck(low + vec3(1, 1, 0)), f.x), f.y);
  float far = mix(mix(speck(low + vec3(0, 0, 1)), speck(low + vec3(1, 0, 1)), f.x),
                  mix(speck(low + vec3(0, 1, 1)), speck(low + vec3(1, 1, 1)), f.x), f.y);
  return mix(near, far, f.z);
}
float cloud(vec3 p) {
  return 0.53 * grain(p) + 0.27 * grain(2.03 * p + 11.0) + 0.13 * grain(4.1 * p + 23.0)
       + 0.07 * grain(8.3 * p + 5.0);
}
"""
_SWIRL = {
    "pearl": """
  vec3 bent = at + 2.6 * vec3(cloud(at + 3.1), cloud(at + 17.7), cloud(at + 41.3));
  vec3 again = bent + 1.3 * vec3(cloud(bent + 7.9), cloud(bent + 29.1), cloud(bent + 53.7));
  float share = 0.80 * smoothstep(0.40, 0.70, cloud(again));
  float flake = smoothstep(0.955, 1.0, speck(floor(pourMC.xyz / 0.55)));
  vec3 mixed = mix(diffuseColor, second, share) + 0.16 * flake;
""",
    "hybrid": """
  vec3 bent = at + 2.2 * vec3(cloud(at + 3.1), cloud(at + 17.7), cloud(at + 41.3));
  float share = smoothstep(0.485, 0.515, cloud(bent));
  float flake = share * smoothstep(0.955, 1.0, speck(floor(pourMC.xyz / 0.55)));
  vec3 mixed = mix(diffuseColor, second, share) + 0.12 * flake;
""",
}
VERTEX = (
    ("//VTK::PositionVC::Dec", "//VTK::PositionVC::Dec\nout vec4 pourMC;\n"),
    ("//VTK::PositionVC::Impl", "//VTK::PositionVC::Impl\n  pourMC = vertexMC;\n"),
)


def fragment(pour: Pour) -> tuple[tuple[str, str], ...]:
    """What to put in the renderer's program for a pixel, for a pour that is not solid."""
    second = ", ".join(f"{share**2.2:.6f}" for share in rgb(pour.second))
    place = f"pourMC.xyz / 34.0 + {(pour.seed % 977) * 0.37 + 50.0:.2f}"
    swirl = (
        f"  vec3 second = vec3({second});\n  vec3 at = {place};\n{_SWIRL[pour.kind]}"
        "  diffuseColor = min(mixed, vec3(1.0));\n"
    )
    return (
        ("//VTK::PositionVC::Dec", "//VTK::PositionVC::Dec\nin vec4 pourMC;\n" + _NOISE),
        ("//VTK::Color::Impl", "//VTK::Color::Impl\n" + swirl),
    )
