"""Shapes of every registered family with parameters drawn at random, and where they stand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING
from typing import Any

import numpy as np

from shapes.errors import ShapeError
from shapes.parameters import NUMERIC, Parameter, parameters_of
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.registry import FAMILIES
from shapes.shape import Shape
from shapes.turned import ArcStep, SplineStep, Step

Random = np.random.Generator
# families whose parameters can be drawn one by one: neither files nor other bodies
DRAWN = [
    word
    for word, family in FAMILIES.items()
    if all(p.kind in (*NUMERIC, "word", "profile") for _, p in parameters_of(family))
]


def drawn_body(word: str, seed: int) -> Placed:
    """The same body for the same word and seed."""
    g = np.random.default_rng([seed, *word.encode(), 2026])
    x, y, z = (float(m) for m in g.uniform(-35, 35, 3))
    spin, by, toward = (float(a) for a in g.uniform(-360, 360, 3))
    placement = Placement(spin, by, toward, (x, y, z))
    return Placed(drawn_shape(word, g), placement)


def drawn_shape(word: str, g: Random) -> Shape:
    """Draws until the family takes the parameters, which it may refuse together."""
    for _ in range(500):
        try:
            return FAMILIES[word](**drawn_parameters(word, g))
        except ShapeError:
            continue
    raise AssertionError(f"no parameters in 500 draws make a {word}")


def drawn_parameters(word: str, g: Random) -> dict[str, Any]:
    """One draw, whether or not the family takes it."""
    return {field.name: _value(field, p, g) for field, p in parameters_of(FAMILIES[word])}


def _value(field: Any, parameter: Parameter, g: Random) -> Any:
    given = field.default
    if parameter.kind == "length" and given == 0.0:  # an edge radius or the like
        return float(g.choice([0.0, g.uniform(0.3, 2.0), g.uniform(2.0, 14.0)]))
    draw: dict[str, Callable[[], Any]] = {
        "length": lambda: float(g.uniform(12, 125)),
        "lengths": lambda: tuple(float(x) for x in g.uniform(25, 125, 3)),
        "angle": lambda: float(g.uniform(0, 360)),
        "number": lambda: float(g.uniform(0, 4)),
        "word": lambda: str(g.choice(parameter.words)),
        "profile": lambda: drawn_profile(g),
    }
    if given is MISSING or parameter.kind not in NUMERIC:
        return draw[parameter.kind]()
    if parameter.kind == "count":
        return int(given + g.integers(-2, 4))
    if parameter.kind in ("lengths", "series"):
        return tuple(float(x * g.uniform(0.7, 1.35)) for x in given)
    return float(given * g.uniform(0.6, 1.5))


def drawn_profile(g: Random) -> tuple[Step, ...]:
    """From foot to dome: lines, an arc bulging or hollow, a spline of two to five points."""
    z = np.cumsum([-g.uniform(50, 65), *g.uniform(10, 22, 4)])
    r = g.uniform(24, 52, 5)
    bulge = float(g.uniform(-0.3, 0.5)) * float(z[2] - z[1])
    rise, points = float(z[3]), []
    for _ in range(int(g.integers(2, 6))):
        rise += float(g.uniform(7, 15))
        points.append((float(g.uniform(24, 50)), rise))
    ends: dict[str, Any] = {}
    if g.random() < 0.5:
        ends["leave"] = (float(g.uniform(-1, 1)), 1.0)
    if g.random() < 0.5:
        ends["arrive"] = (float(g.uniform(-1, 0.5)), 1.0)
    top = points[-1]
    dome = (0.0, top[1] + float(g.uniform(5, 18)))
    middle = (top[0] * 0.62, top[1] + (dome[1] - top[1]) * float(g.uniform(0.6, 0.75)))
    return (
        (0.0, float(z[0])),
        (float(r[0]), float(z[0])),
        (float(r[1]), float(z[1])),
        ArcStep(
            (float(r[2]), float(z[2])),
            (float(r[1] + r[2]) / 2 + bulge, float(z[1] + z[2]) / 2),
        ),
        (float(r[3]), float(z[3])),
        SplineStep(tuple(points), **ends),
        ArcStep(dome, middle) if g.random() < 0.7 else (0.0, top[1]),
    )
