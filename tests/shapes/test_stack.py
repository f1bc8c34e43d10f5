"""Many bodies of one family at once against the same bodies one by one."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from shapes.barrel import Barrel
from shapes.errors import ShapeError
from shapes.parameters import NUMERIC, parameters_of
from shapes.registry import FAMILIES
from shapes.shape import Shape
from shapes.stack import BLOCK, moments_of_many
from shapes.turned import Turned
from tests.reference.drawn_bodies import drawn_shape

STACKED = [
    word
    for word, family in FAMILIES.items()
    if all(p.kind in NUMERIC for _, p in parameters_of(family))
]


def test_almost_every_family_can_be_stacked() -> None:
    assert len(STACKED) >= 25


@pytest.mark.parametrize("word", STACKED)
def test_a_stack_weighs_as_its_bodies_do(word: str) -> None:
    g = np.random.default_rng([9, *word.encode()])
    bodies = [drawn_shape(word, g) for _ in range(12)]
    given = {
        field.name: np.array([getattr(body, field.name) for body in bodies])
        for field, _ in parameters_of(FAMILIES[word])
    }
    found = moments_of_many(FAMILIES[word], given)
    assert found.taken.all()
    for k, body in enumerate(bodies):
        _assert_same(found.moments[k], body)


@pytest.mark.parametrize("word", STACKED)
def test_one_parameter_may_vary_alone(word: str) -> None:
    """What is left out keeps its default, or that of the family's typical body."""
    family = FAMILIES[word]
    typical = family.typical()
    for field, parameter in parameters_of(family):
        if parameter.kind in ("count", "series", "lengths"):
            continue
        value = getattr(typical, field.name)
        values = np.array([value, value * 1.01 + 1e-3, value * 0.98])
        needed = {
            other.name: getattr(typical, other.name)
            for other, _ in parameters_of(family)
            if other.default is dataclasses.MISSING
        }
        found = moments_of_many(family, {**needed, field.name: values})
        for k, one in enumerate(values):
            if found.taken[k]:
                body = dataclasses.replace(typical, **{field.name: float(one)})
                _assert_same(found.moments[k], body)
        assert found.taken[0]


def _assert_same(found: object, body: Shape) -> None:
    due = body.moments()
    size = body.reach_mm(np.zeros(3))
    assert found.volume_mm3 == pytest.approx(due.volume_mm3, rel=1e-12)  # type: ignore[attr-defined]
    assert found.first_mm4 == pytest.approx(due.first_mm4, abs=1e-12 * due.volume_mm3 * size)  # type: ignore[attr-defined]
    assert found.second_mm5 == pytest.approx(due.second_mm5, abs=1e-12 * due.volume_mm3 * size**2)  # type: ignore[attr-defined]


def test_what_a_family_refuses_is_marked_and_weighs_nothing() -> None:
    widths = np.array([100.0, 60.0, -1.0, np.nan])
    found = moments_of_many(Barrel, {"middle_diameter": widths})
    assert found.taken.tolist() == [True, False, False, False]
    assert np.isnan(np.asarray(found.moments.volume_mm3)[1:]).all()


def test_blocks_join_without_a_seam() -> None:
    heights = np.linspace(90.0, 130.0, 2 * BLOCK + 7)
    found = moments_of_many(Barrel, {"height": heights})
    last = Barrel(height=float(heights[-1])).moments()
    assert found.moments[len(heights) - 1].volume_mm3 == pytest.approx(last.volume_mm3, rel=1e-13)


def test_unknown_missing_and_unnumbered_parameters_are_named() -> None:
    with pytest.raises(ShapeError, match="hight"):
        moments_of_many(Barrel, {"hight": [1.0]})
    with pytest.raises(ShapeError, match="profile"):
        moments_of_many(Turned, {"round": [1.0]})
    with pytest.raises(ShapeError, match="cannot vary"):
        moments_of_many(Turned, {"profile": [((0.0, 0.0), (1.0, 1.0))]})
