"""A ball as a picture: a view of it laid out, rendered and painted, as a PNG."""

from __future__ import annotations

import io

from pipeline.arrange import lay_out
from pipeline.ball import Ball
from pipeline.drilled import Drilled, drill
from pipeline.drilled_views import DRILLED_VIEWS
from pipeline.errors import OutputError
from pipeline.paint import paint
from pipeline.polar_map import MAPS, polar_map
from pipeline.render import render
from pipeline.scene import Scene
from pipeline.views import VIEWS
from pipeline.weigh import MassProperties, weigh

LEAST_PX, MOST_PX = 360, 8192
SIZE = (1920, 1080)


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
        raise Refused(f"there is no view '{view}'; the views are {', '.join(every_view())}")
    _check_size(size)
    return drawn(VIEWS[view](ball, properties), size, transparent=transparent)


def picture_drilled(
    drilled: Drilled,
    *,
    view: str = "drilled",
    size: tuple[int, int] = (1920, 1080),
    transparent: bool = False,
) -> bytes:
    """A drilled ball as a PNG; see `picture`, with one of DRILLED_VIEWS."""
    if view not in DRILLED_VIEWS:
        raise Refused(f"there is no view '{view}'; the views are {', '.join(every_view())}")
    _check_size(size)
    return drawn(DRILLED_VIEWS[view](drilled), size, transparent=transparent)


def draw_view(ball: Ball, view: str, size: tuple[int, int] | None, *, transparent: bool) -> bytes:
    """A ball by any view, drilled first where the view is of a drilled one.

    Without a size it is 1920 x 1080 px, or what suits a map.

    Raises:
        Refused: the design drills no holes, or as `picture`.
        BallError: a hole or the layout cannot be.
    """
    if view not in (*DRILLED_VIEWS, *MAPS):
        return picture(ball, weigh(ball), view=view, size=size or SIZE, transparent=transparent)
    drilled = drill(ball)
    if drilled is None:
        raise Refused(f"{ball.design.name} is not drilled: the view '{view}' needs a drilling")
    if view in MAPS:
        if size is not None:
            _check_size(size)
        return polar_map(drilled, view, size)
    return picture_drilled(drilled, view=view, size=size or SIZE, transparent=transparent)


def every_view() -> list[str]:
    """The views of a ball, and those of a drilled one."""
    return [*VIEWS, *DRILLED_VIEWS, *MAPS]


def drawn(scene: Scene, size: tuple[int, int], *, transparent: bool) -> bytes:
    """A scene as a PNG."""
    sheet = lay_out(scene, size)
    image = paint(scene, sheet, render(scene, sheet), transparent)
    out = io.BytesIO()
    image.save(out, "PNG", compress_level=6)
    return out.getvalue()


def _check_size(size: tuple[int, int]) -> None:
    if not all(LEAST_PX <= n <= MOST_PX for n in size):
        raise Refused(
            f"a picture of {size[0]} x {size[1]} px cannot be drawn; width and height may each be "
            f"from {LEAST_PX} to {MOST_PX} px"
        )


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
