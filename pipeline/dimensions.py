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
from math import atan2, copysign, hypot, pi

from pipeline.digits import MINUS
from pipeline.spline_points import SplineTable, runs_of, table_of
from shapes.curves import Arc, Curve, Line, Point, box_of
from shapes.parting import across
from shapes.profile import Profile

DIAMETER = "\u00d8"  # the face lacks the sign of its own; drawings have always used this letter
_SAME_MM = 1e-6
_TANGENT_RAD = 1e-4
_NEARLY_BACK_RAD = 2.8  # lines that turn by more meet too far away to be a corner


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
class Sharp:
    """A theoretical sharp point, and the ends of the lines that lead to it."""

    at: Point
    ends: tuple[Point, Point]


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
        flat = isinstance(curve, Line) and box.z_high - box.z_low < _SAME_MM < box.r_high
        if flat and box.z_low - lowest < _SAME_MM:
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
    sharps, rounded = _sharps(profile)
    runs = runs_of(curves)
    inside = {span.start for run in runs for span in run[1:]}  # the table has these
    joints = [s.at for s in sharps] + [
        p
        for k, p in enumerate(_starts(profile))
        if k not in rounded and k - 1 not in rounded and p not in inside
    ]
    bulges = [span.point(t) for run in runs for span in run for t in span.widest()]
    table = table_of(runs, datum, most_rows) if runs else None
    return Dimensions(
        datum,
        called,
        _heights(joints, bulges, datum),
        (*_diameters(curves, joints, sharps, bulges), *_radii(profile, datum)),
        tuple(sharps),
        table,
        bool(runs) and table is None,
    )


def _starts(profile: Profile) -> list[Point]:
    """Where curves start, and the end of the last one unless it is the first start again."""
    starts = [c.start for c in profile.curves]
    return starts if profile.is_ring else [*starts, profile.curves[-1].end]


def _neighbours(profile: Profile, k: int) -> tuple[Curve, Curve] | None:
    curves, n = profile.curves, len(profile.curves)
    if not profile.is_ring and k in (0, n - 1):
        return None
    return curves[k - 1], curves[(k + 1) % n]


def _fillet(profile: Profile, k: int) -> bool:
    """Whether a curve is an arc of a circle that runs into both its neighbours."""
    arc, beside = profile.curves[k], _neighbours(profile, k)
    if not isinstance(arc, Arc) or not _circular(arc) or beside is None:
        return False
    before, after = beside
    return (
        _angle(before.way(1.0), arc.way(0.0)) < _TANGENT_RAD
        and _angle(arc.way(1.0), after.way(0.0)) < _TANGENT_RAD
    )


def _sharps(profile: Profile) -> tuple[list[Sharp], set[int]]:
    """Theoretical points, and which curves are the fillets that they stand for."""
    found, rounded = [], set()
    for k, curve in enumerate(profile.curves):
        beside = _neighbours(profile, k)
        if beside is None or not _fillet(profile, k) or not isinstance(curve, Arc):
            continue
        before, after = beside
        straight = isinstance(before, Line) and isinstance(after, Line)
        if straight and abs(curve.sweep_rad) < _NEARLY_BACK_RAD:
            found.append(Sharp(_crossing(before, after), (curve.start, curve.end)))
            rounded.add(k)
    return found, rounded


def _crossing(one: Curve, other: Curve) -> Point:
    """Where two straight lines, made longer, meet."""
    (r, z), (u, v) = one.start, one.way(0.0)
    (p, q), (s, t) = other.start, other.way(0.0)
    share = ((p - r) * t - (q - z) * s) / (u * t - v * s)
    return r + share * u, z + share * v


def _heights(joints: Sequence[Point], bulges: Sequence[Point], datum: float) -> tuple[Label, ...]:
    levels: list[Point] = []
    for point in sorted(joints, key=lambda p: (p[1], -p[0])):
        if not levels or point[1] - levels[-1][1] > _SAME_MM:
            levels.append(point)
    found = [Label(p, (written_mm(p[1] - datum),)) for p in levels]
    for r, z in bulges:
        if all(abs(p[1] - z) > _SAME_MM for p in levels):
            found.append(Label((r, z), (f"({written_mm(z - datum)})",)))
    if all(abs(p[1] - datum) > _SAME_MM for p in levels):
        found.append(Label((0.0, datum), (written_mm(0.0),)))
    return tuple(sorted(found, key=lambda label: label.at[1]))


def _diameters(
    curves: Sequence[Curve],
    joints: Sequence[Point],
    sharps: Sequence[Sharp],
    bulges: Sequence[Point],
) -> tuple[Label, ...]:
    """One at every joint off the axis; a cylinder has one for both its ends."""
    found, told = [], []
    for curve in curves:
        if isinstance(curve, Line) and abs(curve.end[0] - curve.start[0]) < _SAME_MM:
            r, z = curve.point(0.5)
            if r > _SAME_MM:
                found.append(Label((r, z), (f"{DIAMETER} {written_mm(2.0 * r)}",), "arrow"))
                told += [(r, q) for q in _reach(curve, sharps)]
    for r, z in joints:
        if r < _SAME_MM or any(hypot(r - p, z - q) < 1e-4 for p, q in told):
            continue
        sharp = any(hypot(r - s.at[0], z - s.at[1]) < _SAME_MM for s in sharps)
        words = (f"{DIAMETER} {written_mm(2.0 * r)}",)
        found.append(Label((r, z), words, "" if sharp else "dot"))
    for r, z in bulges:
        found.append(Label((r, z), (f"({DIAMETER} {written_mm(2.0 * r)})",), "arrow"))
    return tuple(found)


def _reach(curve: Line, sharps: Sequence[Sharp]) -> list[float]:
    """Heights of the ends of an upright line: its own, or those of the corners it leads to."""
    heights = [curve.start[1], curve.end[1]]
    for sharp in sharps:
        if any(hypot(e[0] - p[0], e[1] - p[1]) < _SAME_MM
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
        if _fillet(profile, k):
            lines: tuple[str, ...] = (f"R {written_mm(a)}",)
        elif not _circular(curve):
            lines = (f"ellipse: half-axes r {written_mm(a)}, height {written_mm(b)}", centre)
        elif abs(r) < _SAME_MM:
            equator = any(abs(curve.point(t)[0] - a) < _SAME_MM for t in (0.0, *curve.widest(), 1.0))
            size = f"S{DIAMETER} {written_mm(2.0 * a)}" if equator else f"SR {written_mm(a)}"
            lines = (size, f"centre on A, height {written_mm(z - datum)}")
        else:
            lines = (f"R {written_mm(a)}", centre)
        found.append(Label(at, lines, "arrow"))
    return tuple(found)


def _circular(arc: Arc) -> bool:
    return abs(arc.semi[0] - arc.semi[1]) < _SAME_MM


def _angle(one: Point, other: Point) -> float:
    turn = atan2(other[1], other[0]) - atan2(one[1], one[0])
    return abs((turn + pi) % (2.0 * pi) - pi)
