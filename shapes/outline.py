"""What a half-section must be: on the axis at both ends, off it between, and free of itself."""

from __future__ import annotations

from math import hypot

import numpy as np

from shapes.curves import Curve, box_of
from shapes.errors import ShapeError
from shapes.halfplane import meetings
from shapes.profile import pieces_of

AXIS_MM = 1e-6  # nearer than this to the axis is on it


def check_outline(curves: list[tuple[int, Curve]]) -> None:
    """Refuse an outline that bounds no single body; each curve comes with its step's index.

    Raises:
        ShapeError: naming the step and the place, in mm.
    """
    _check_ends(curves)
    last = len(curves) - 1
    for k, (index, curve) in enumerate(curves):
        _check_axis(index, curve, is_first=k == 0, is_last=k == last)
    _check_crossings(curves)


def _check_ends(curves: list[tuple[int, Curve]]) -> None:
    (_, first), (last_index, last) = curves[0], curves[-1]
    for index, (r, z), which in (
        (0, first.start, "starts"),
        (last_index, last.end, "ends"),
    ):
        if abs(r) > AXIS_MM:
            raise ShapeError(
                f"profile[{index}]",
                f"the half-section {which} at r {r:.3f} mm, z {z:.3f} mm; it must {which[:-1]} on "
                "the axis, at r = 0",
            )
    if last.end[1] <= first.start[1]:
        raise ShapeError(
            f"profile[{last_index}]",
            f"the half-section runs from z {first.start[1]:.3f} mm to z {last.end[1]:.3f} mm; list "
            "it from the lower axis point to the upper one",
        )


def _check_axis(index: int, curve: Curve, *, is_first: bool, is_last: bool) -> None:
    """The outline may touch the axis at its two ends only."""
    if not is_first and not is_last and box_of(curve).r_low > AXIS_MM:
        return
    t = np.array([0.0, *curve.widest(), *np.linspace(0.01, 0.99, 33), 1.0])
    r, z = curve.at(t)
    lowest = int(np.argmin(r))
    if r[lowest] < -AXIS_MM:
        raise ShapeError(
            f"profile[{index}]",
            f"the half-section crosses the axis: r is {r[lowest]:.3f} mm at z {z[lowest]:.3f} mm, "
            "and must not be negative",
        )
    allowed = np.zeros(len(t), dtype=bool)
    allowed[0], allowed[-1] = is_first, is_last
    touching = (r <= AXIS_MM) & ~allowed
    if touching.any():
        at = int(np.argmax(touching))
        raise ShapeError(
            f"profile[{index}]",
            f"the half-section touches the axis between its ends, at z {z[at]:.3f} mm",
        )


def _check_crossings(curves: list[tuple[int, Curve]]) -> None:
    pieces = [(index, piece) for index, curve in curves for piece in pieces_of(curve)]
    for i, (index, a) in enumerate(pieces):
        for j in range(i + 1, len(pieces)):
            other_index, b = pieces[j]
            if j == i + 1 and _part_at_joint(a, b):
                continue
            for t in meetings(a, b):
                r, z = a.point(t)
                joint = j == i + 1 and hypot(r - a.end[0], z - a.end[1]) < AXIS_MM
                if not joint:
                    raise ShapeError(
                        f"profile[{other_index}]",
                        f"the half-section meets itself at r {r:.3f} mm, z {z:.3f} mm, where "
                        f"profile[{index}] passes; an outline must not cross or touch itself",
                    )


def _part_at_joint(before: Curve, after: Curve) -> bool:
    """Whether neighbours share no height but that of their joint, so that they cannot meet again.

    Each rises or falls throughout, so at that height it has the joint only; a level one must not
    meet a level one.
    """
    one, two = box_of(before), box_of(after)
    shared = min(one.z_high, two.z_high) - max(one.z_low, two.z_low)
    level = one.z_high - one.z_low <= AXIS_MM and two.z_high - two.z_low <= AXIS_MM
    return shared <= AXIS_MM and not level
