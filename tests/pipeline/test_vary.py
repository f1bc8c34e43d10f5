"""Numbers put where their paths point."""

from __future__ import annotations

import pytest

from pipeline.load import numbers_in, read_design
from pipeline.shipped import shipped
from pipeline.vary import numbers_at, tokens, with_numbers
from pipeline.wanted import Tie, Varied
from tests.pipeline.searched import text

JOINED = (
    "shape: join, bodies: [{shape: cylinder, diameter: 3, height: 4}, "
    "{shape: box, size: [1, 2, 5], spin: 10, tilt: {by: 3, toward: 4}, move: [0, 0.1, 0.2]}]"
)


@pytest.mark.parametrize("name", ["dunlin", "godwit", "turnstone", "joined"])
def test_every_number_of_a_file_can_be_put_by_its_path(name: str) -> None:
    """Each in turn raised by a little: the same as reading the file with that number written."""
    source = text(JOINED) if name == "joined" else shipped(name).read_text(encoding="utf-8")
    design = read_design(source)
    tried = 0
    for path, number in numbers_in(source.encode()).items():
        if not path.startswith("parts[") and not path.endswith(".density"):
            continue
        if path.startswith(f"parts[{len(design.parts) - 1}]"):
            continue  # the ball itself
        value = number.value * 1.01 + 1e-3
        scalar = number.scalar
        written = source[: scalar.begin] + f"{value / number.size!r}" + source[scalar.end :]
        try:
            expected = read_design(written)
        except Exception:
            continue  # no such shape, which is for the shape's own tests
        found = with_numbers(design, {path: value})
        assert repr(found.materials) == repr(expected.materials) or path.startswith("parts")
        for one, other in zip(found.parts, expected.parts, strict=True):
            _assert_near(one.shape, other.shape)
            _assert_near(one.placement, other.placement)
        tried += 1
    assert tried >= 7


def _assert_near(one: object, other: object) -> None:
    for a, b in zip(_flat(one), _flat(other), strict=True):
        assert a == pytest.approx(b, rel=1e-12)


def _flat(value: object) -> list[float]:
    if isinstance(value, float | int):
        return [float(value)]
    if isinstance(value, tuple):
        return [x for item in value for x in _flat(item)]
    return (
        [x for item in vars(value).values() for x in _flat(item)]
        if hasattr(value, "__dict__")
        else []
    )


def test_what_follows_stays_equal_mirrored_or_as_far_off() -> None:
    ties = (Tie("b", "with"), Tie("c", "against"), Tie("d", "beside", -2.0))
    one = Varied("a", "a", "mm", 1.0, 5.0, 0.0, 9.0, ties)
    assert numbers_at([one], [7.0]) == {"a": 7.0, "b": 7.0, "c": -7.0, "d": 5.0}


def test_a_path_that_leads_nowhere_is_refused() -> None:
    with pytest.raises(KeyError):
        with_numbers(read_design(text(JOINED)), {"name": 1.0})


def test_a_path_in_steps() -> None:
    assert tokens("profile[4].spline[0].r") == ["profile", 4, "spline", 0, "r"]
