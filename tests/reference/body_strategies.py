"""Hypothesis strategies for bodies of a family, from what its parameters say of themselves."""

from __future__ import annotations

from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from shapes.errors import ShapeError
from shapes.parameters import NUMERIC, Parameter, parameters_of
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.registry import FAMILIES
from shapes.shape import Shape

FORMED = [
    word
    for word, family in FAMILIES.items()
    if all(p.kind in (*NUMERIC, "word") for _, p in parameters_of(family))
]
_angle = st.floats(-360.0, 360.0)
_shift = st.floats(-40.0, 40.0)
places = st.builds(Placement, _angle, _angle, _angle, st.tuples(_shift, _shift, _shift))


@st.composite
def bodies(draw: Any, word: str) -> Placed:
    """A placed body of a family: near its typical one, at its limits, or far from both."""
    return Placed(draw(shapes(word)), draw(places))


@st.composite
def shapes(draw: Any, word: str) -> Shape:
    family = FAMILIES[word]
    typical = family.typical()
    given = {
        field.name: draw(_values(parameter, getattr(typical, field.name)))
        for field, parameter in parameters_of(family)
    }
    try:
        return family(**given)
    except ShapeError:
        assume(False)
        raise AssertionError from None


def _values(parameter: Parameter, typical: Any) -> st.SearchStrategy[Any]:
    if parameter.kind == "word":
        return st.sampled_from(parameter.words)
    if parameter.kind in ("lengths", "series"):
        return st.tuples(*(_number(parameter, one) for one in typical))
    if parameter.kind == "count":
        least, most = int(parameter.at_least or 1), int(parameter.at_most or 12)
        return st.integers(least, most)
    return _number(parameter, typical)


def _number(parameter: Parameter, typical: float) -> st.SearchStrategy[float]:
    size = abs(typical) or (5.0 if parameter.kind in ("length", "angle") else 0.1)
    low, high = typical - 0.45 * size, typical + 0.45 * size
    if parameter.above is not None:
        low = max(low, parameter.above + 0.05 * size)
    if parameter.at_least is not None:
        low = max(low, parameter.at_least)
    if parameter.at_most is not None:
        high = min(high, parameter.at_most)
    edges = [
        e for e in (parameter.at_least, parameter.at_most) if e is not None and low <= e <= high
    ]
    plain = st.floats(low, high)
    return st.one_of(plain, st.sampled_from(edges)) if edges else plain
