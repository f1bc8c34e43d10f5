"""A drilled ball's surface laid flat about a point: every distance and direction from it is true.

The azimuthal equidistant projection (Snyder, Map Projections: A Working Manual, USGS Professional
Paper 1395, chapter 25; from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING

import numpy as np

from pipeline.charts import FAINT, INK, PAPER, png, sheet
from pipeline.drilled import Drilled
from pipeline.errors import OutputError
from pipeline.palette import OYSTER
from pipeline.scene import INK as LINE_INK
from pipeline.sphere import tangent
from pipeline.surface_lines import grip_lines, marks, rg_lines, rims, ring_lines
from pipeline.units import MM_PER_IN
from shapes.moments import Array

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_SIGNS = {"pin": "o", "cg": "P", "psa": "D", "axis point": "X", "grip centre": "+"}
_STEP_IN = 1.0
_FIGURES_RAD = -1.15  # where the circles' figures stand
_WIDE_IN, _HIGH_IN = 9.2, 9.6
_RIM_IN = 1e-6  # a mark a quarter round the ball is on the map's rim, whatever the last bit says


@dataclass(frozen=True, eq=False)
class Flat:
    """A map: unit vectors of its middle, and of what is to the right and up there."""

    middle: Array
    right: Array
    up: Array

    def place(self, points: Array, radius_mm: float) -> Array:
        """Points of the surface, shape (n, 3), as (n, 2), inches right and up of the middle."""
        unit = points / np.linalg.norm(points, axis=1)[:, None]
        out = unit @ self.middle
        x, y = unit @ self.right, unit @ self.up
        size = np.hypot(x, y)
        arc = np.arctan2(size, out) * radius_mm / MM_PER_IN
        share = np.divide(arc, size, out=np.zeros_like(arc), where=size > 1e-15)
        return np.column_stack([share * x, share * y])


def about_axis_point(drilled: Drilled) -> Flat:
    """The map about the axis point, the fingers up.

    Raises:
        OutputError: there is none.
    """
    axis = drilled.laid.axis_point
    if axis is None:
        raise OutputError(
            f"{drilled.ball.design.name} has no axis point: give its drilling an axis_point"
        )
    return _about(axis, drilled)


def about_pin(drilled: Drilled) -> Flat:
    """The map about the pin as it was, the fingers up."""
    return _about(drilled.laid.pin, drilled)


MAPS: dict[str, Callable[[Drilled], Flat]] = {
    "axis-map": about_axis_point,
    "pin-map": about_pin,
}


def polar_map(drilled: Drilled, name: str, size: tuple[int, int] | None = None) -> bytes:
    """One of MAPS as a PNG, of a size in px where one is asked for."""
    flat = MAPS[name](drilled)
    dpi = 150.0 if size is None else min(size[0] / _WIDE_IN, size[1] / _HIGH_IN)
    wide, high = (_WIDE_IN, _HIGH_IN) if size is None else (size[0] / dpi, size[1] / dpi)
    with sheet(wide, high) as (figure, axes):
        figure.set_dpi(dpi)
        draw_map(axes, drilled, flat)
        about = "the axis point" if name == "axis-map" else "the pin"
        design = drilled.ball.design
        axes.set_title(
            f"{design.name}, revision {design.revision}: the half of the ball about {about}",
            loc="left", weight="bold",
        )  # fmt: skip
        return png(figure)


def draw_map(
    axes: Axes, drilled: Drilled, flat: Flat, *, rings: bool = True, small: bool = False
) -> None:
    """Draw the map: half the ball, with circles an inch apart."""
    radius = drilled.properties.radius_mm
    edge = pi / 2.0 * radius / MM_PER_IN
    axes.set_aspect("equal")
    axes.set_axis_off()
    axes.set_facecolor(PAPER)
    _circles(axes, edge)
    lines = [*rg_lines(drilled), *(ring_lines(drilled) if rings else []), *grip_lines(drilled)]
    for line in lines:
        named = line.name
        for curve in line.curves:
            at = flat.place(curve, radius)
            shown = np.where(np.hypot(*at.T)[:, None] <= edge, at, np.nan)
            axes.plot(
                *shown.T, color=INK if line.colour == LINE_INK else line.colour,
                linewidth=1.8 * line.thick + 0.3, linestyle=(0, (5, 3)) if line.dashed else "-",
                label=named or None,
            )  # fmt: skip
            named = ""
    for hole, rim in rims(drilled):
        at = flat.place(rim, radius)
        within = np.hypot(*at.T) <= edge if len(at) else np.zeros(0, dtype=bool)
        if not within.any():
            continue
        if within.all():
            axes.fill(*at.T, facecolor=OYSTER, edgecolor=INK, linewidth=1.2, zorder=3)
        else:  # what of it lies on this half of the ball
            axes.plot(*np.where(within[:, None], at, np.nan).T, color=INK, linewidth=1.2, zorder=3)
        middle = flat.place(hole.entry_mm[None], radius)[0]
        if float(np.hypot(*middle)) <= edge:
            axes.text(
                float(middle[0]), float(middle[1]), hole.name, ha="center", va="center",
                fontsize=4.5 if small else 8, zorder=4,
            )  # fmt: skip
    _put_marks(axes, drilled, flat, edge, 6.0 if small else 9.0)
    if axes.get_legend_handles_labels()[0]:
        axes.legend(
            loc="upper center", bbox_to_anchor=(0.5, 0.0), ncols=3 if small else 4, frameon=False,
            fontsize=6.5 if small else 9, handlelength=2.6,
        )  # fmt: skip
    axes.set_xlim(-1.04 * edge, 1.04 * edge)
    axes.set_ylim(-1.04 * edge, 1.04 * edge)


def _circles(axes: Axes, edge: float) -> None:
    """Circles an inch apart, their figures aside of where lines usually run."""
    turn = np.linspace(0.0, 2.0 * pi, 241)
    patch = {"facecolor": PAPER, "edgecolor": "none", "pad": 0.6}
    for r in [*np.arange(_STEP_IN, edge, _STEP_IN), edge]:
        wide = 1.2 if r == edge else 0.5
        axes.plot(r * np.cos(turn), r * np.sin(turn), color=FAINT, linewidth=wide, zorder=0)
        if r < edge:
            at = (r * np.cos(_FIGURES_RAD), r * np.sin(_FIGURES_RAD))
            axes.text(
                float(at[0]), float(at[1]), f"{r:g} in", color=FAINT, fontsize=7, ha="center",
                va="center", zorder=1, bbox=patch,
            )  # fmt: skip


def _put_marks(axes: Axes, drilled: Drilled, flat: Flat, edge: float, size: float) -> None:
    """Marks with their names, those of one place together, each name clear of the others."""
    radius = drilled.properties.radius_mm
    places: list[tuple[Array, str, list[str]]] = []
    for mark in marks(drilled):
        at = flat.place(mark.at_mm[None], radius)[0]
        if float(np.hypot(*at)) > edge + _RIM_IN:
            continue
        near = [p for p in places if float(np.hypot(*(p[0] - at))) < 0.12]
        if near:
            near[0][2].append(mark.name)
        else:
            places.append((at, mark.kind, [mark.name]))
    taken: list[tuple[float, float, float, float]] = []
    place = axes.get_position()
    wide_in, high_in = axes.figure.get_size_inches()  # type: ignore[union-attr]
    line = size / 72.0 * 2.08 * edge / min(place.width * wide_in, place.height * high_in)
    for at, kind, names in places:
        axes.plot(
            *at, _SIGNS[kind], color=INK, markersize=7 if size > 8.0 else 4.5, zorder=6,
            markerfacecolor=PAPER if kind == "pin" else INK,
        )  # fmt: skip
        name = ", ".join(names)
        wide = 0.5 * line * len(name)
        side, rise, box = _room(at, wide, line, [p for p, _, _ in places], taken, edge)
        taken.append(box)
        axes.annotate(
            name, (float(at[0]), float(at[1])), xytext=(7 * side, 7 * rise - 3),
            textcoords="offset points", fontsize=size, weight="bold", zorder=7,
            ha="left" if side > 0 else "right",
            bbox={"facecolor": PAPER, "edgecolor": "none", "alpha": 0.75, "pad": 0.8},
        )  # fmt: skip


def _room(
    at: Array,
    wide: float,
    line: float,
    points: Sequence[Array],
    taken: Sequence[tuple[float, float, float, float]],
    edge: float,
) -> tuple[int, int, tuple[float, float, float, float]]:
    """On which side of a point its name finds room: right or left, above or below."""
    found = None
    for side, rise in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
        start, end = sorted((at[0] + side * 0.1, at[0] + side * (0.15 + wide)))
        low, high = sorted((at[1] + rise * 0.06 * line, at[1] + rise * 1.35 * line))
        box = (float(start), float(low), float(end), float(high))
        if found is None or abs(high) + abs(low) < abs(found[2][1]) + abs(found[2][3]) - 0.5:
            found = (side, rise, box)  # at least not over what stands beside the map
        clear = not any(start < b[2] and b[0] < end and low < b[3] and b[1] < high for b in taken)
        clear &= max(abs(start), abs(end), abs(low), abs(high)) < edge
        if clear and not any(start < p[0] < end and low < p[1] < high for p in points):
            return side, rise, box
    assert found is not None
    return found


def _about(middle: Array, drilled: Drilled) -> Flat:
    """The fingers are up; without a grip the ball's +Z is."""
    frame = drilled.laid.frame
    for up in ([] if frame is None else [frame[:, 2], frame[:, 0]]) + [*np.eye(3)[::-1]]:
        try:
            along = _upwards(middle, up)
        except ValueError:
            continue
        return Flat(middle, np.cross(along, middle), along)
    raise AssertionError("one of three axes is aside")  # pragma: no cover


def _upwards(middle: Array, up: Array) -> Array:
    if abs(float(middle @ up)) > 0.999:
        raise ValueError("up is straight out of the map")
    return tangent(middle, up)
