"""What the colours of a picture say: paper, and the parts by the hues of the palette."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from pipeline.palette import rgb
from shapes.moments import Array

Pixels = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]


def levels(colour: str) -> Array:
    """'#RRGGBB' as three levels from 0 to 255."""
    return 255.0 * np.array(rgb(colour))


def clay(picture: Pixels) -> Mask:
    """Where the picture is the red of the inner core."""
    return np.asarray(picture[..., 0] - picture[..., 2] > 50)


def tide(picture: Pixels) -> Mask:
    """Where the picture is the blue of the cover."""
    return np.asarray(picture[..., 2] - picture[..., 0] > 18)


def ground(picture: Pixels) -> Mask:
    """Where the picture is the page's own paper, as in its corner."""
    return np.asarray((np.abs(picture - picture[0, 0]) <= 1).all(axis=-1))


def changed(one: Pixels, other: Pixels, by: int = 6) -> Mask:
    """Where two pictures differ by more than a few levels."""
    return np.asarray((np.abs(one - other) > by).any(axis=-1))


def along(pixel: Any, one: Array, other: Array) -> tuple[float, float]:
    """A colour against the line between two others.

    Returns:
        Where along it, 0 at the one and 1 at the other, and how far off it, in levels.
    """
    way = other - one
    share = float((np.asarray(pixel) - one) @ way / (way @ way))
    return share, float(np.linalg.norm(np.asarray(pixel) - one - share * way))
