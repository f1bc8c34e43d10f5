"""Asymmetrical cores made of straight-sided blocks: slab, tee and ell."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from shapes.curves import Curve, Point
from shapes.extruded import Extruded
from shapes.parameters import Parameter
from shapes.pen import Drawn, rounded
from shapes.shape import Rule


class Cornered(Extruded):
    """A block whose front has straight sides and rounded corners.

    Attributes:
        round: radius of the corners, mm.
    """

    round: float

    @abstractmethod
    def corners(self) -> tuple[Point, ...]:
        """The corners of the front, (x, z), counter-clockwise seen with x right and z up."""

    def _drawn(self) -> Drawn:
        return rounded(self.corners(), self.round, closed=True)

    def outline(self) -> tuple[Curve, ...]:
        """Straight sides, rounded corners."""
        return self._drawn().curves

    def rules(self) -> Iterator[Rule]:
        """The roundings fit their sides."""
        for left in self._drawn().left_mm:
            yield Rule(
                "round",
                left >= -1e-9,
                lambda: (
                    f"a rounding of {self.round:g} mm needs longer sides than there are; take less"
                ),
            )


@dataclass(frozen=True)
class Slab(Cornered):
    """A flat-sided slab, as wide below as above or tapered.

    >>> round(Slab(20.0, 20.0, 40.0, 10.0, 0.0).moments().volume_mm3, 6)
    8000.0
    """

    upper_width: Annotated[float, Parameter("length", "width along X at the top", above=0.0)] = 78.0
    lower_width: Annotated[float, Parameter("length", "width along X at the bottom", above=0.0)] = (
        104.0
    )
    height: Annotated[float, Parameter("length", "height along Z", above=0.0)] = 112.0
    thickness: Annotated[float, Parameter("length", "thickness along Y", above=0.0)] = 66.0
    round: Annotated[
        float, Parameter("length", "radius of the corners of its outline", at_least=0.0)
    ] = 14.0

    def corners(self) -> tuple[Point, ...]:
        """A trapezoid."""
        low, top, half = self.lower_width / 2.0, self.upper_width / 2.0, self.height / 2.0
        return ((-low, -half), (low, -half), (top, half), (-top, half))


@dataclass(frozen=True)
class Tee(Cornered):
    """A T: a bar across the top of a stem.

    >>> round(Tee(30.0, 10.0, 10.0, 40.0, 2.0, 0.0).moments().volume_mm3, 6)
    1200.0
    """

    bar_width: Annotated[float, Parameter("length", "width of the bar along X", above=0.0)] = 112.0
    bar_height: Annotated[float, Parameter("length", "height of the bar along Z", above=0.0)] = 46.0
    stem_width: Annotated[
        float, Parameter("length", "width of the stem along X; less than the bar's", above=0.0)
    ] = 56.0
    height: Annotated[
        float, Parameter("length", "whole height; more than the bar's", above=0.0)
    ] = 112.0
    thickness: Annotated[float, Parameter("length", "thickness along Y", above=0.0)] = 72.0
    round: Annotated[
        float, Parameter("length", "radius of all corners of its outline", at_least=0.0)
    ] = 10.0

    def corners(self) -> tuple[Point, ...]:
        """The stem's foot first."""
        stem, bar, half = self.stem_width / 2.0, self.bar_width / 2.0, self.height / 2.0
        under = half - self.bar_height
        return (
            (-stem, -half),
            (stem, -half),
            (stem, under),
            (bar, under),
            (bar, half),
            (-bar, half),
            (-bar, under),
            (-stem, under),
        )

    def rules(self) -> Iterator[Rule]:
        """There is a stem below the bar."""
        yield _less("stem_width", self.stem_width, "bar_width", self.bar_width)
        yield _less("bar_height", self.bar_height, "height", self.height)
        yield from super().rules()


@dataclass(frozen=True)
class Ell(Cornered):
    """An L: an upright leg with a foot to one side.

    >>> round(Ell(30.0, 10.0, 10.0, 40.0, 2.0, 0.0).moments().volume_mm3, 6)
    1200.0
    """

    foot_width: Annotated[
        float, Parameter("length", "whole width of the foot along X", above=0.0)
    ] = 98.0
    foot_height: Annotated[float, Parameter("length", "height of the foot along Z", above=0.0)] = (
        54.0
    )
    leg_width: Annotated[
        float, Parameter("length", "width of the leg along X; less than the foot's", above=0.0)
    ] = 58.0
    height: Annotated[
        float, Parameter("length", "whole height; more than the foot's", above=0.0)
    ] = 112.0
    thickness: Annotated[float, Parameter("length", "thickness along Y", above=0.0)] = 76.0
    round: Annotated[
        float, Parameter("length", "radius of all corners of its outline", at_least=0.0)
    ] = 10.0

    def corners(self) -> tuple[Point, ...]:
        """About the middle of its whole width and height."""
        wide, half = self.foot_width / 2.0, self.height / 2.0
        leg, instep = self.leg_width - wide, self.foot_height - half
        return (
            (-wide, -half),
            (wide, -half),
            (wide, instep),
            (leg, instep),
            (leg, half),
            (-wide, half),
        )

    def rules(self) -> Iterator[Rule]:
        """There is a leg above the foot."""
        yield _less("leg_width", self.leg_width, "foot_width", self.foot_width)
        yield _less("foot_height", self.foot_height, "height", self.height)
        yield from super().rules()


def _less(field: str, value: float, than: str, limit: float) -> Rule:
    return Rule(field, value < limit, lambda: f"{value:g} mm is not less than {than}, {limit:g} mm")
