"""Light on a surface, as the renderer's program for a pixel.

A physically based model: Lambert's diffuse light, and for a shine the microfacets of Walter and
others 2007 (GGX) with Smith's masking correlated by height (Heitz 2014) and Schlick's Fresnel term
(Schlick 1994); all from memory.  In parallel projection, with lamps far away beside the camera, the
directions to the viewer, to a lamp and half-way between are the same at every pixel: they stand in
the program as numbers, which halves the time that a picture takes.

Colours are linear light; the result is for a screen of gamma 2.2.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import pi, sqrt

from pipeline.looks import Lamp, Way

_GAMMA = "  fragOutput0 = vec4(pow(light, vec3(1.0 / 2.2)), opacity);\n"


def program(lamps: Sequence[Lamp], roughness: float, index: float) -> str:
    """What replaces the renderer's own light.

    Args:
        lamps: what shines.
        roughness: 0 is a mirror, 1 is chalk.
        index: of refraction; 1 for a surface without any shine.
    """
    base = ((index - 1.0) / (index + 1.0)) ** 2
    lines = ["  vec3 light = vec3(0.0);\n  float facing, half_way, shine;\n"]
    if base > 0.0:
        lines.append(
            "  float towards = clamp(normalVCVSOutput.z, 1e-5, 1.0);\n"
            f"  float masked = {_smith('towards', roughness)};\n"
        )
    for lamp in lamps:
        lines.append(_lamp(lamp, roughness, base))
    return "".join([*lines, _GAMMA])


def _lamp(lamp: Lamp, roughness: float, base: float) -> str:
    """The light of one lamp."""
    way = _unit(lamp.way)
    facing = f"  facing = max(dot(normalVCVSOutput, {_vector(way)}), 0.0);\n"
    if base <= 0.0:
        return f"{facing}  light += {lamp.strength / pi:.9f} * facing * diffuseColor;\n"
    middle = _unit((way[0], way[1], way[2] + 1.0))
    closeness = sum(a * b for a, b in zip(way, middle, strict=True))
    most = min(1.0, 50.0 * 0.33 * base)
    mirrored = base + (most - base) * (1.0 - closeness) ** 5
    square = roughness**4
    return (
        f"{facing}"
        f"  half_way = clamp(dot(normalVCVSOutput, {_vector(middle)}), 0.0, 1.0);\n"
        f"  shine = half_way * half_way * {square - 1.0:.9f} + 1.0;\n"
        f"  shine = {mirrored * square / 2.0:.9f} / (shine * shine"
        f" * (facing * masked + towards * {_smith('facing', roughness)} + 1e-6));\n"
        f"  light += {lamp.strength / pi:.9f} * facing"
        f" * ({1.0 - mirrored:.6f} * diffuseColor + vec3(shine));\n"
    )


def _smith(cosine: str, roughness: float) -> str:
    square = roughness**2
    return f"sqrt({square:.9f} + {1.0 - square:.9f} * {cosine} * {cosine})"


def _unit(way: Way) -> Way:
    size = sqrt(way[0] ** 2 + way[1] ** 2 + way[2] ** 2)
    return way[0] / size, way[1] / size, way[2] / size


def _vector(way: Way) -> str:
    return f"vec3({way[0]:.9f}, {way[1]:.9f}, {way[2]:.9f})"
