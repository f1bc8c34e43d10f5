"""A core made larger or smaller as a whole, about the ball's centre."""

from __future__ import annotations

from pipeline.ball import roles_of
from pipeline.design import Design
from pipeline.errors import CorewrightError
from pipeline.fields import QuantityKind
from pipeline.load import home_of, numbers_in
from pipeline.units import LENGTH
from pipeline.vary import with_numbers
from shapes.claims import claims
from shapes.errors import ShapeError
from shapes.placed import Placed

_SAME = 1e-7  # of a volume that must grow as the cube of the size


class ResizeError(CorewrightError):
    """The core cannot be made larger or smaller by its numbers."""


def resized(design: Design, size: float) -> Design:
    """All parts inside the outer core, with their places, times a factor.

    Raises:
        ResizeError: some length of the core does not stand in the file and would stay as it is.
    """
    if size == 1.0:
        return design
    found = size_numbers(design, size)
    try:
        changed = with_numbers(design, found)
    except ShapeError as error:
        raise ResizeError(f"the core cannot be {size:g} times as large: {error.reason}") from error
    for before, after in zip(design.parts, changed.parts, strict=True):
        if before.shape == after.shape and before.placement == after.placement:
            continue
        grown = after.shape.moments().volume_mm3 / before.shape.moments().volume_mm3
        if abs(grown / size**3 - 1.0) > _SAME:
            raise ResizeError(
                f"part '{before.name}' cannot be resized: not all of its lengths stand in the "
                "file; write those that have their default, too"
            )
    return changed


def size_numbers(design: Design, size: float) -> dict[str, float]:
    """By the path of its field every length of the core, times a factor.

    Raises:
        ResizeError: some part of the core has none.
    """
    known = numbers_in(design.source, home_of(design))
    bodies = tuple(Placed(part.shape, part.placement) for part in design.parts)
    found_claims = claims(bodies)
    volumes = [b.moments() if c is None else c for b, c in zip(bodies, found_claims, strict=True)]
    roles = roles_of(bodies, volumes)
    core = [k for k, role in enumerate(roles) if role in ("inner core", "insert")]
    found = {}
    starts = tuple(f"parts[{k}]." for k in core)
    for path, number in known.items():
        is_length = isinstance(number.kind, QuantityKind) and number.kind.quantity is LENGTH
        if is_length and path.startswith(starts):
            found[path] = number.value * size
    for k in core:
        if not any(p.startswith(f"parts[{k}].") and ".move." not in p for p in found):
            raise ResizeError(f"part '{design.parts[k].name}' has no length to make larger")
    return found
