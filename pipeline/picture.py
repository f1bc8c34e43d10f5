"""A ball as a picture: a view of it laid out, rendered and painted, as a PNG."""

from __future__ import annotations

import io

from pipeline.arrange import lay_out
from pipeline.ball import Ball
from pipeline.errors import OutputError
from pipeline.paint import paint
from pipeline.render import render
from pipeline.views import VIEWS
from pipeline.weigh import MassProperties

LEAST_PX, MOST_PX = 360, 8192


class Refused(OutputError, ValueError):
    """A view or a size that cannot be drawn; says what can."""


def picture(
    ball: Ball,
    properties: MassProperties,
    *,
    view: str = "cutaway",
    size: tuple[int, int] = (1920, 1080),
    transparent: bool = False,
) -> bytes:
    """A ball as a PNG; the same ball, view and size give the same bytes.

    Args:
        ball: what is drawn.
        properties: its figures and axes.
        view: one of VIEWS.
        size: width and height, px, kept to the pixel.
        transparent: whether to leave the background out.

    Raises:
        Refused: no such view, or no such size; a ValueError too.
        OutputError: this view shows nothing of this ball, or the renderer failed.
        SystemLibraryError: the renderer lacks a library of the system.
    """
    if view not in VIEWS:
        raise Refused(f"there is no view '{view}'; the views are {', '.join(VIEWS)}")
    if not all(LEAST_PX <= n <= MOST_PX for n in size):
        raise Refused(
            f"a picture of {size[0]} x {size[1]} px cannot be drawn; width and height may each be "
            f"from {LEAST_PX} to {MOST_PX} px"
        )
    scene = VIEWS[view](ball, properties)
    sheet = lay_out(scene, size)
    image = paint(scene, sheet, render(scene, sheet), transparent)
    out = io.BytesIO()
    image.save(out, "PNG", compress_level=6)
    return out.getvalue()


def parse_size(text: str) -> tuple[int, int]:
    """A size such as '1920x1080' as width and height, px.

    Raises:
        Refused: the text is no size.

    >>> parse_size("1920x1080")
    (1920, 1080)
    """
    wide, _, high = text.lower().replace("\u00d7", "x").partition("x")
    try:
        return int(wide), int(high)
    except ValueError:
        raise Refused(
            f"'{text}' is no size; write width x height in px, such as 1920x1080"
        ) from None
