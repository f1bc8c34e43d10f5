"""Bodies stacked along their axis: straight-sided frusta, or steps like those of a shaft."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Annotated

from shapes.curves import Curve, Point
from shapes.errors import ShapeError
from shapes.parameters import Parameter
from shapes.pen import Drawn, rounded
from shapes.revolved import Revolved
from shapes.shape import Rule


@dataclass(frozen=True)
class Frusta(Revolved):
    """Frusta of cones stacked from the lower end to the upper one.

    >>> round(Frusta((40.0, 40.0), (50.0,), 0.0).moments().volume_mm3, 6)  # a cylinder
    62831.853072
    """

    diameters: Annotated[
        tuple[float, ...],
        Parameter("series", "widths of the ends and joints, from the lower end up", above=0.0),
    ] = (100.0, 112.0, 84.0, 56.0)
    heights: Annotated[
        tuple[float, ...],
        Parameter("series", "heights of the frusta, one fewer than diameters", above=0.0),
    ] = (34.0, 44.0, 36.0)
    round: Annotated[float, Parameter("length", "radius of all edges", at_least=0.0)] = 6.0

    def __post_init__(self) -> None:
        _check_counts(self.diameters, self.heights, len(self.diameters) - 1, "one fewer than")
        super().__post_init__()

    def rules(self) -> Iterator[Rule]:
        """The roundings fit."""
        return _roundings_fit(self._drawn(), self.round)

    def _drawn(self) -> Drawn:
        levels = _levels(self.heights)
        sides = [(d / 2.0, z) for d, z in zip(self.diameters, levels, strict=True)]
        return rounded(_closed_by_axis(sides), self.round)

    def outline(self) -> tuple[Curve, ...]:
        """Straight sides, every edge rounded."""
        return self._drawn().curves


@dataclass(frozen=True)
class Stepped(Revolved):
    """Cylinders stacked from the lower end to the upper one, with fillets at all edges.

    >>> round(Stepped((40.0,), (50.0,), 0.0).moments().volume_mm3, 6)  # a cylinder
    62831.853072
    """

    diameters: Annotated[
        tuple[float, ...], Parameter("series", "widths, from the lower end up", above=0.0)
    ] = (112.0, 92.0, 68.0)
    heights: Annotated[
        tuple[float, ...], Parameter("series", "heights, one for each width", above=0.0)
    ] = (36.0, 44.0, 36.0)
    round: Annotated[float, Parameter("length", "radius of all edges", at_least=0.0)] = 4.0

    def __post_init__(self) -> None:
        _check_counts(self.diameters, self.heights, len(self.diameters), "as many as")
        super().__post_init__()

    def rules(self) -> Iterator[Rule]:
        """Neighbours differ, and the fillets fit."""
        for k in range(1, len(self.diameters)):
            below, above = self.diameters[k - 1], self.diameters[k]
            yield Rule(
                f"diameters[{k}]",
                abs(above - below) > 1e-6,
                lambda above=above: (  # type: ignore[misc]
                    f"{above:g} mm is the width of the step below; make one step of the two"
                ),
            )
        yield from _roundings_fit(self._drawn(), self.round)

    def _drawn(self) -> Drawn:
        levels = _levels(self.heights)
        sides = []
        for k, width in enumerate(self.diameters):
            sides += [(width / 2.0, levels[k]), (width / 2.0, levels[k + 1])]
        return rounded(_closed_by_axis(sides), self.round)

    def outline(self) -> tuple[Curve, ...]:
        """Upright sides and level shoulders, every edge rounded."""
        return self._drawn().curves


def _check_counts(
    diameters: Sequence[float], heights: Sequence[float], due: int, words: str
) -> None:
    if not diameters:
        raise ShapeError("diameters", "it is empty; give the widths from the lower end up")
    if not heights or len(heights) != due:
        raise ShapeError(
            "heights",
            f"{len(heights)} heights with {len(diameters)} diameters; there must be {words} "
            "diameters",
        )


def _levels(heights: Sequence[float]) -> list[float]:
    """Heights of the joints about the middle of the stack."""
    half = sum(heights) / 2.0
    return [-half, *(level - half for level in accumulate(heights))]


def _closed_by_axis(sides: Sequence[Point]) -> list[Point]:
    nothing = 0.0 * sides[0][1]
    return [(nothing, sides[0][1]), *sides, (nothing, sides[-1][1])]


def _roundings_fit(drawn: Drawn, radius: float) -> Iterator[Rule]:
    for left in drawn.left_mm:
        yield Rule(
            "round",
            left >= -1e-9,
            lambda left=left: (  # type: ignore[misc]
                f"roundings of {radius:g} mm overlap by {-left:.3f} mm on one of the steps; take "
                "less"
            ),
        )
