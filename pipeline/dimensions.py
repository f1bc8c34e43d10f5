"""Which dimensions define a turned body, every one read off its half-section.

Heights count from datum B, diameters are those about datum A.  A corner rounded between two
straight lines is given by its theoretical sharp point and its radius; every other joint of two
curves by the point where they meet, which for a fillet beside a curve are its tangent points.
Arcs carry their radius, and their centre unless they are fillets.  Splines go by a table.  What
follows from other dimensions stands in brackets (ISO 129-1, auxiliary dimensions).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import copysign, hypot

import numpy as np

from pipeline.corners import SAME_MM, Sharp, is_circular, is_fillet, sharps_of
from pipeline.digits import MINUS
from pipeline.spline_points import SplineTable, runs_of, table_of
from shapes.curves import Arc, Curve, Line, Point, box_of
from shapes.parting import across
from shapes.profile import Profile

_APART_MM = 0.005  # what is written to two decimals as one place
DIAMETER = "\u00d8"  # the face lacks the sign of its own; drawings have always used this letter


@dataclass(frozen=True)
class Label:
    """What is written about a place on the outline.

    Attributes:
        at: (r, z), mm.
        lines: the words, one under the other.
        mark: what stands at the place: an arrow on the outline, a dot on a joint, or nothing.
    """

    at: Point
    lines: tuple[str, ...]
    mark: str = ""


@dataclass(frozen=True)
class Dimensions:
    """All that a section is labelled with.

    Attributes:
        datum_mm: the height of datum B in the section's frame.
        datum_is: what lies there, in words.
        heights: from datum B, one for each level; their places are the outermost ones.
        sizes: diameters and radii.
        sharps: theoretical points.
        table: of the splines; None without any.
        unlisted: whether there are splines that no table of this many rows can define.
    """

    datum_mm: float
    datum_is: str
    heights: tuple[Label, ...]
    sizes: tuple[Label, ...]
    sharps: tuple[Sharp, ...]
    table: SplineTable | None
    unlisted: bool


def written_mm(length_mm: float, places: int = 2) -> str:
    """A length as it stands on the sheet, with a true minus.

    >>> written_mm(111.76), written_mm(-0.004)
    ('111.76', '0.00')
    """
    # half a unit goes away from zero, so that a half and its whole agree
    text = f"{length_mm + copysign(1e-7, length_mm):.{places}f}"
    if not text.startswith("-"):
        return text
    return MINUS + text[1:] if float(text) else text[1:]


def datum_of(profile: Profile) -> tuple[float, str]:
    """The height of datum B and what it is: the lowest flat, or the plane of the widest place."""
    lowest = min(box_of(c).z_low for c in profile.curves)
    for curve in profile.curves:
        box = box_of(curve)
        flat = isinstance(curve, Line) and box.z_high - box.z_low < SAME_MM < box.r_high
        if flat and box.z_low - lowest < SAME_MM:
            return box.z_low, "the seat"
    return across(profile.curves).height_mm, "the plane of the widest place"


def dimensions_of(
    profile: Profile, datum_mm: float | None = None, most_rows: int = 24
) -> Dimensions:
    """The dimensions of a turned body.

    Args:
        profile: its half-section.
        datum_mm: the height of the parting plane, where that is datum B.
        most_rows: that the table of splines may have.
    """
    datum, called = datum_of(profile) if datum_mm is None else (datum_mm, "the parting plane")
    curves = profile.curves
    sharps, rounded = sharps_of(profile)
    runs = runs_of(curves)
    inside = {span.start for run in runs for span in run[1:]}  # the table has these
    joints = [s.at for s in sharps] + [
        p
        for k, p in enumerate(_starts(profile))
        if k not in rounded and k - 1 not in rounded and p not in inside
    ]
    bulges = [
        p
        for p in (span.point(t) for run in runs for span in run for t in span.widest())
        if all(hypot(p[0] - q[0], p[1] - q[1]) > _APART_MM for q in joints)
    ]
    table = table_of(runs, datum, most_rows) if runs else None
    return Dimensions(
        datum,
        called,
        _heights(profile, joints, bulges, datum),
        (*_diameters(curves, joints, sharps, bulges), *_radii(profile, datum)),
        tuple(sharps),
        table,
        bool(runs) and table is None,
    )


def _starts(profile: Profile) -> list[Point]:
    """Where curves start, and the end of the last one unless it is the first start again."""
    starts = [c.start for c in profile.curves]
    return starts if profile.is_ring else [*starts, profile.curves[-1].end]


def _heights(
    profile: Profile, joints: Sequence[Point], bulges: Sequence[Point], datum: float
) -> tuple[Label, ...]:
    levels: list[Point] = []
    for point in sorted(joints, key=lambda p: (p[1], -p[0])):
        if not levels or point[1] - levels[-1][1] > SAME_MM:
            levels.append(point)
    found = [Label(p, (written_mm(p[1] - datum),)) for p in levels]
    for r, z in bulges:
        if all(abs(p[1] - z) > SAME_MM for p in levels):
            found.append(Label((r, z), (f"({written_mm(z - datum)})",)))
    if all(abs(p[1] - datum) > SAME_MM for p in levels):
        found.append(Label((_outside(profile, datum), datum), (written_mm(0.0),)))
    return tuple(sorted(found, key=lambda label: label.at[1]))


def _outside(profile: Profile, z: float) -> float:
    """How far the body reaches from the axis at a height; 0 where it does not."""
    found = [0.0]
    for curve in profile.rising:
        low, high = sorted((curve.start[1], curve.end[1]))
        if low < high and low <= z <= high:
            found.append(float(curve.at(curve.t_at_height(np.array([z])))[0][0]))
    return max(found)


def _diameters(
    curves: Sequence[Curve],
    joints: Sequence[Point],
    sharps: Sequence[Sharp],
    bulges: Sequence[Point],
) -> tuple[Label, ...]:
    """One at every joint off the axis; a cylinder has one for both its ends."""
    found, told = [], []
    for curve in curves:
        if isinstance(curve, Line) and abs(curve.end[0] - curve.start[0]) < SAME_MM:
            r, z = curve.point(0.5)
            if r > SAME_MM:
                found.append(Label((r, z), (f"{DIAMETER} {written_mm(2.0 * r)}",), "arrow"))
                told += [(r, q) for q in _reach(curve, sharps)]
    for r, z in joints:
        if r < SAME_MM or any(hypot(r - p, z - q) < 1e-4 for p, q in told):
            continue
        sharp = any(hypot(r - s.at[0], z - s.at[1]) < SAME_MM for s in sharps)
        words = (f"{DIAMETER} {written_mm(2.0 * r)}",)
        found.append(Label((r, z), words, "" if sharp else "dot"))
    for r, z in bulges:
        found.append(Label((r, z), (f"({DIAMETER} {written_mm(2.0 * r)})",), "arrow"))
    return tuple(found)


def _reach(curve: Line, sharps: Sequence[Sharp]) -> list[float]:
    """Heights of the ends of an upright line: its own, or those of the corners it leads to."""
    heights = [curve.start[1], curve.end[1]]
    for sharp in sharps:
        if any(hypot(e[0] - p[0], e[1] - p[1]) < SAME_MM
               for e in sharp.ends for p in (curve.start, curve.end)):  # fmt: skip
            heights.append(sharp.at[1])
    return heights


def _radii(profile: Profile, datum: float) -> tuple[Label, ...]:
    found = []
    for k, curve in enumerate(profile.curves):
        if not isinstance(curve, Arc):
            continue
        (r, z), (a, b) = curve.centre, curve.semi
        at = curve.point(0.5)
        centre = f"centre r {written_mm(r)}, height {written_mm(z - datum)}"
        if is_fillet(profile, k):
            lines: tuple[str, ...] = (f"R {written_mm(a)}",)
        elif not is_circular(curve):
            lines = (f"ellipse: half-axes r {written_mm(a)}, height {written_mm(b)}", centre)
        elif abs(r) < SAME_MM:
            equator = any(abs(curve.point(t)[0] - a) < SAME_MM for t in (0.0, *curve.widest(), 1.0))
            size = f"S{DIAMETER} {written_mm(2.0 * a)}" if equator else f"SR {written_mm(a)}"
            lines = (size, f"centre on A, height {written_mm(z - datum)}")
        else:
            lines = (f"R {written_mm(a)}", centre)
        found.append(Label(at, lines, "arrow"))
    return tuple(found)
