"""A body turned about Z from a half-section of straight, arc and spline steps."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import hypot
from typing import Annotated

import numpy as np

from shapes.curves import Arc, Curve, Line, Point
from shapes.errors import ShapeError
from shapes.fillet import SMOOTH_RAD, NoFit, fillet, turn_rad
from shapes.moments import Moments
from shapes.outline import check_outline
from shapes.parameters import Parameter
from shapes.profile import Profile
from shapes.revolved import Revolved
from shapes.spline import spline_spans


@dataclass(frozen=True)
class ArcStep:
    """A step along the circle through the point before, `through` and `arc`, ending at `arc`."""

    arc: Point
    through: Point


@dataclass(frozen=True)
class SplineStep:
    """A step along the spline from the point before through all of its points.

    Attributes:
        spline: the points, (r, z).
        leave: direction (dr, dz) at the point before; a natural end without it.
        arrive: direction at the last point; a natural end without it.
    """

    spline: tuple[Point, ...]
    leave: Point | None = None
    arrive: Point | None = None


Step = Point | ArcStep | SplineStep


@dataclass(frozen=True)
class Turned(Revolved):
    """A body of revolution of any half-section.

    >>> cone = Turned(profile=((0.0, 0.0), (3.0, 0.0), (0.0, 4.0)))
    >>> round(cone.moments().volume_mm3, 6)
    37.699112
    """

    profile: Annotated[
        tuple[Step, ...],
        Parameter(
            "profile",
            "half-section from the lower axis point to the upper one",
            typical=((0.0, -60.0), (52.0, -60.0), (42.0, 10.0), (24.0, 60.0), (0.0, 60.0)),
        ),
    ]
    round: Annotated[
        float,
        Parameter("length", "fillet radius at every corner off the axis", at_least=0.0),
    ] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        _section(self.profile, self.round)

    def outline(self) -> tuple[Curve, ...]:
        """The steps of the half-section with their fillets."""
        return self.section().curves

    def section(self) -> Profile:
        """The half-section with its fillets."""
        return _section(self.profile, self.round)

    def moments(self) -> Moments:
        """Green's theorem along the half-section, kept with it."""
        return self.section().moments()


@lru_cache(maxsize=512)
def _section(steps: tuple[Step, ...], radius: float) -> Profile:
    """Steps to checked curves, fillets included."""
    sharp = _curves(steps)
    check_outline(sharp)
    if radius == 0.0:
        return Profile(tuple(curve for _, curve in sharp))
    rounded = _rounded(sharp, radius)
    check_outline(rounded)
    return Profile(tuple(curve for _, curve in rounded))


def _curves(steps: tuple[Step, ...]) -> list[tuple[int, Curve]]:
    """The curves as drawn, each with the index of the step that it belongs to."""
    if len(steps) < 2:
        raise ShapeError("profile", f"{len(steps)} steps; it takes at least two points")
    if not isinstance(steps[0], tuple):
        raise ShapeError("profile[0]", "the first step must be a plain point [0, z] on the axis")
    curves: list[tuple[int, Curve]] = []
    here: Point = steps[0]
    for index, step in enumerate(steps):
        there = _points_of(step)
        for point in there:
            if not all(np.isfinite(point)):
                raise ShapeError(f"profile[{index}]", f"{point} is not a pair of finite numbers")
        if index == 0:
            continue
        for a, b in zip([here, *there], there, strict=False):
            if hypot(a[0] - b[0], a[1] - b[1]) < 1e-6:
                raise ShapeError(
                    f"profile[{index}]",
                    f"the point {_said(b)} repeats the one before it",
                )
        curves.extend((index, curve) for curve in _step(index, here, step))
        here = there[-1]
    return curves


def _points_of(step: Step) -> list[Point]:
    """The points a step passes, in order."""
    if isinstance(step, ArcStep):
        return [step.through, step.arc]
    if isinstance(step, SplineStep):
        return list(step.spline)
    return [step]


def _step(index: int, here: Point, step: Step) -> list[Curve]:
    """The curves of one step."""
    if isinstance(step, ArcStep):
        try:
            return [Arc.through(here, step.through, step.arc)]
        except ValueError as error:
            raise ShapeError(
                f"profile[{index}]",
                f"the arc to {_said(step.arc)} cannot be drawn: {error}",
            ) from None
    if isinstance(step, SplineStep):
        if not step.spline:
            raise ShapeError(f"profile[{index}]", "a spline needs at least one point")
        for name, direction in (("leave", step.leave), ("arrive", step.arrive)):
            if direction is not None and not 0.0 < hypot(*direction) < np.inf:
                raise ShapeError(f"profile[{index}].{name}", f"{direction} gives no direction")
        spans = spline_spans([here, *step.spline], step.leave, step.arrive)
        _check_overshoot(index, [here, *step.spline], list(spans))
        return list(spans)
    return [Line(here, step)]


def _check_overshoot(index: int, points: list[Point], spans: list[Curve]) -> None:
    """A spline must stay near its points: at most 5 % of their diagonal beyond their box."""
    given = np.array(points)
    low, high = given.min(axis=0), given.max(axis=0)
    allowed = 0.05 * float(np.hypot(*(high - low)))
    for span in spans:
        extremes = np.array([0.0, *span.turning_points(), *span.widest(), 1.0])
        on = np.column_stack(span.at(extremes))
        beyond = np.maximum(on - high, low - on).max(axis=1)
        worst = int(np.argmax(beyond))
        if beyond[worst] > allowed:
            raise ShapeError(
                f"profile[{index}]",
                f"the spline swings {beyond[worst]:.2f} mm beyond its points, to "
                f"{_said((on[worst, 0], on[worst, 1]))}; at most {allowed:.2f} mm (5 % of their "
                "diagonal) is taken: add a point there, or give leave and arrive",
            )


def _rounded(sharp: list[tuple[int, Curve]], radius: float) -> list[tuple[int, Curve]]:
    """An arc at every corner between two curves; the ends on the axis stay as they are."""
    begins = [0.0] * len(sharp)
    ends = [1.0] * len(sharp)
    arcs: list[Arc | None] = [None] * len(sharp)
    for k in range(len(sharp) - 1):
        (index, before), (_, after) = sharp[k], sharp[k + 1]
        if abs(turn_rad(before, after)) < SMOOTH_RAD:
            continue
        try:
            ends[k], arcs[k], begins[k + 1] = fillet(before, after, radius)
        except NoFit as error:
            raise ShapeError(
                "round",
                f"a fillet of {radius:g} mm does not fit at {_said(before.end)}, the end "
                f"of profile[{index}]: {error}; take a smaller radius or longer steps",
            ) from None
    rounded: list[tuple[int, Curve]] = []
    for k, (index, curve) in enumerate(sharp):
        if ends[k] - begins[k] < -1e-9:
            raise ShapeError(
                "round",
                f"fillets of {radius:g} mm at both ends of profile[{index}], near "
                f"{_said(curve.end)}, overlap; take a smaller radius or a longer step",
            )
        if ends[k] - begins[k] > 1e-9:
            rounded.append((index, curve.part(begins[k], ends[k])))
        arc = arcs[k]
        if arc is not None:
            rounded.append((index, arc))
    return rounded


def _said(point: Point) -> str:
    """A point for a message, mm."""
    return f"r {point[0]:.3f} mm, z {point[1]:.3f} mm"
