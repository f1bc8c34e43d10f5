"""What a file should hold, what it was found to hold, and whether the two agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

from pipeline.meshes import bounds_of, left_out
from shapes.moments import Array, Moments

if TYPE_CHECKING:
    from shapes.facets import Facets

Value = float | int | str | bool | tuple[float, ...]


@dataclass(frozen=True)
class Comparison:
    """One quantity of a file that was read back.

    Attributes:
        file, body, quantity: what was compared; body is '' for the whole file.
        due, found: by the source, and in the file.
        tolerance: how far they may differ, in `unit`; 0 for what must be equal.
        passed: whether they agree.
    """

    file: str
    body: str
    quantity: str
    due: Value
    found: Value
    tolerance: float
    unit: str
    passed: bool


@dataclass(frozen=True, eq=False)
class Due:
    """What a body in a file should be.

    Attributes:
        name, colour: as asked for.
        moments: about the origin of the file's frame, mm.
        facets: a mesh with its corners on the surface, mm.
        layer: that it lies on in the file; '' for none.
        area_mm2: of its surface, where the file states volume, area and centroid of it.
    """

    name: str
    colour: str
    moments: Moments
    facets: Facets
    layer: str = ""
    area_mm2: float | None = None


class Triangles(Protocol):
    """What was read of a mesh, whatever the file; see `pipeline.meshes.MeshBody`."""

    @property
    def triangles(self) -> int: ...
    @property
    def moments(self) -> Moments: ...
    @property
    def bounds_mm(self) -> Array: ...
    @property
    def closed(self) -> bool: ...


def near_moments(
    file: str, due: Due, found: Moments, volume_mm3: float, shift_mm: float
) -> list[Comparison]:
    """Volume and centroid, each within a tolerance of its own."""
    at = found.centroid_mm() if found.volume_mm3 else np.full(3, np.nan)
    want = due.moments
    return [
        near(file, due.name, "volume", [want.volume_mm3], [found.volume_mm3], volume_mm3, "mm3"),
        near(file, due.name, "centroid", want.centroid_mm(), at, shift_mm, "mm"),
    ]


def near_box(file: str, due: Due, found_mm: Array, tolerance: float) -> Comparison:
    """The box of a body, shape (2, 3), against that of its mesh."""
    want = bounds_of(due.facets.corners_mm).ravel()
    return near(file, due.name, "bounding box", want, found_mm.ravel(), tolerance, "mm")


def near_mesh(
    file: str, due: Due, found: Triangles, chord_mm: float, rounding_mm: float
) -> list[Comparison]:
    """A body of triangles within what they leave out, and the stated chord of its mesh."""
    facets = due.facets
    off, moment = left_out(facets, due.moments.centroid_mm())
    shift = moment / (due.moments.volume_mm3 - off)
    return [
        near(file, due.name, "chord", [0.0], [facets.sag_mm], chord_mm, "mm"),
        equal(file, due.name, "triangles", len(facets.triangles), found.triangles),
        equal(file, due.name, "closed", True, found.closed),
        *near_moments(file, due, found.moments, off, shift),
        near_box(file, due, found.bounds_mm, rounding_mm),
    ]


def equal(
    file: str, body: str, quantity: str, due: Value, found: Value, unit: str = ""
) -> Comparison:
    """What must be the same."""
    return Comparison(file, body, quantity, due, found, 0.0, unit, due == found)


def near(
    file: str,
    body: str,
    quantity: str,
    due: Sequence[float] | Array,
    found: Sequence[float] | Array,
    tolerance: float,
    unit: str,
) -> Comparison:
    """Numbers of one kind; passed when the greatest difference is within the tolerance."""
    gap = float(np.abs(np.subtract(found, due)).max())
    return Comparison(
        file, body, quantity, _value(due), _value(found), tolerance, unit, gap <= tolerance
    )


def _value(numbers: Sequence[float] | Array) -> Value:
    found = tuple(float(x) for x in numbers)
    return found if len(found) > 1 else found[0]
