"""A ball as a picture: a view of it laid out, rendered and painted, as a PNG or as layers."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PIL import Image

from pipeline.arrange import WHOLE_PAGE, Page, lay_out, shown
from pipeline.ball import Ball
from pipeline.drilled import Drilled, drill
from pipeline.drilled_views import DRILLED_VIEWS
from pipeline.errors import OutputError
from pipeline.looks import SHORE, Look
from pipeline.paint import layers_of
from pipeline.polar_map import MAPS, polar_map
from pipeline.render import render
from pipeline.scene import Scene
from pipeline.side_by_side import Weighed, check_count
from pipeline.view_list import SHARED_VIEWS, VIEWS
from pipeline.weigh import MassProperties, weigh
from pipeline.wish import AS_IT_SUITS, Wish

LEAST_PX, MOST_PX = 360, 8192
SIZE = (1920, 1080)
VIDEO_SIZES = {
    "1080p": (1920, 1080),
    "1440p": (2560, 1440),
    "4K": (3840, 2160),
    "square": (1080, 1080),
    "upright": (1080, 1920),
}


class Refused(OutputError, ValueError):
    """A view or a size that cannot be drawn; says what can."""


@dataclass(frozen=True)
class Style:
    """How a picture is made, whatever it shows.

    Attributes:
        size: width and height, px, kept to the pixel; None for what suits the view.
        look: one of LOOKS.
        page: what stands beside the ball.
        transparent: whether to leave the background out.
    """

    size: tuple[int, int] | None = None
    look: Look = SHORE
    page: Page = WHOLE_PAGE
    transparent: bool = False


PLAIN_STYLE = Style()


def picture(
    ball: Ball,
    properties: MassProperties,
    *,
    view: str = "cutaway",
    size: tuple[int, int] = SIZE,
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
        raise _no_view(view)
    check_size(size)
    scene = VIEWS[view].draw(ball, properties, AS_IT_SUITS)
    return drawn(scene, Style(size, transparent=transparent))


def picture_drilled(
    drilled: Drilled, *, view: str = "drilled", size: tuple[int, int] = SIZE
) -> bytes:
    """A drilled ball as a PNG; see `picture`, with one of DRILLED_VIEWS."""
    if view not in DRILLED_VIEWS:
        raise _no_view(view)
    check_size(size)
    return drawn(DRILLED_VIEWS[view](drilled), Style(size))


def draw_view(
    ball: Ball,
    view: str,
    style: Style = PLAIN_STYLE,
    wish: Wish = AS_IT_SUITS,
    beside: Sequence[Ball] = (),
) -> bytes:
    """A ball by any view, drilled first where the view is of a drilled one, as a PNG.

    Raises:
        Refused: there is no such view or size, or the design drills no holes.
        OutputError: the view takes no such wish, or as `picture`.
        BallError: a hole or the layout cannot be.
    """
    if view in MAPS:
        return _map(ball, view, style, wish, beside)
    return drawn(scene_by(ball, view, wish, beside), style)


def check_view(ball: Ball, view: str, wish: Wish, beside: int = 0) -> None:
    """Refuse what `draw_view` would refuse, before any work.

    Raises:
        Refused, OutputError: see `draw_view`.
    """
    if view not in every_view():
        raise _no_view(view)
    if view in SHARED_VIEWS:
        wish.check(view, SHARED_VIEWS[view].takes)
        check_count(view, beside + 1)
        return
    if beside:
        raise Refused(
            f"the view '{view}' shows one ball; those that show others beside it are "
            f"{', '.join(SHARED_VIEWS)}"
        )
    wish.check(view, VIEWS[view].takes if view in VIEWS else frozenset())
    if view not in VIEWS and ball.design.drilling is None:
        raise _undrilled(ball, view)


def scene_by(ball: Ball, view: str, wish: Wish = AS_IT_SUITS, beside: Sequence[Ball] = ()) -> Scene:
    """A ball's scene by any view but the flat maps; see `draw_view`."""
    if view not in every_view():
        raise _no_view(view)
    if view in SHARED_VIEWS:
        wish.check(view, SHARED_VIEWS[view].takes)
        balls = [Weighed(one, weigh(one)) for one in (ball, *beside)]
        return SHARED_VIEWS[view].draw(balls, wish)
    if beside:
        raise Refused(
            f"the view '{view}' shows one ball; those that show others beside it are "
            f"{', '.join(SHARED_VIEWS)}"
        )
    if view in VIEWS:
        wish.check(view, VIEWS[view].takes)
        return VIEWS[view].draw(ball, weigh(ball), wish)
    wish.check(view, frozenset())
    drilled = drill(ball)
    if drilled is None:
        raise _undrilled(ball, view)
    if view in MAPS:
        raise Refused(f"the view '{view}' is a flat map: it has no scene of bodies")
    return DRILLED_VIEWS[view](drilled)


def _map(ball: Ball, view: str, style: Style, wish: Wish, beside: Sequence[Ball]) -> bytes:
    if style.look is not SHORE or style.transparent or style.page != WHOLE_PAGE or beside:
        raise Refused(
            f"the view '{view}' is a flat map: it has one look, a background, and one ball"
        )
    wish.check(view, frozenset())
    drilled = drill(ball)
    if drilled is None:
        raise _undrilled(ball, view)
    if style.size is not None:
        check_size(style.size)
    return polar_map(drilled, view, style.size)


def every_view() -> list[str]:
    """The views of a ball, those of several, and those of a drilled one."""
    return [*VIEWS, *SHARED_VIEWS, *DRILLED_VIEWS, *MAPS]


def drawn(scene: Scene, style: Style = PLAIN_STYLE) -> bytes:
    """A scene as a PNG."""
    return png_of(flattened(scene_layers(scene, style), style))


def flattened(layers: Mapping[str, Image.Image], style: Style = PLAIN_STYLE) -> Image.Image:
    """Layers laid over one another, lowest first, as one picture."""
    first, *others = layers.values()
    image = first.copy()
    for layer in others:
        image.alpha_composite(layer)
    return image if style.transparent else image.convert("RGB")


def scene_layers(scene: Scene, style: Style = PLAIN_STYLE) -> dict[str, Image.Image]:
    """A scene's layers, RGBA, lowest first: ground, unless transparent, ball, axes, labels, card.

    Laid over one another they are the picture.
    """
    size = style.size or SIZE
    check_size(size)
    scene = shown(scene, style.page)
    sheet = lay_out(scene, size, style.page)
    shot = render(scene, sheet, style.look)
    return layers_of(scene, sheet, shot, style.look, ground=not style.transparent)


def png_of(image: Image.Image) -> bytes:
    """An image as a PNG, with nothing in it but the picture."""
    out = io.BytesIO()
    image.save(out, "PNG", compress_level=6)
    return out.getvalue()


def check_size(size: tuple[int, int]) -> None:
    """Refuse a size that cannot be drawn.

    Raises:
        Refused: says what can.
    """
    if not all(LEAST_PX <= n <= MOST_PX for n in size):
        raise Refused(
            f"a picture of {size[0]} x {size[1]} px cannot be drawn; width and height may each be "
            f"from {LEAST_PX} to {MOST_PX} px"
        )


def parse_size(text: str) -> tuple[int, int]:
    """A size such as '1920x1080' or '4K' as width and height, px.

    Raises:
        Refused: the text is no size.

    >>> parse_size("1920x1080"), parse_size("upright")
    ((1920, 1080), (1080, 1920))
    """
    named = {name.lower(): size for name, size in VIDEO_SIZES.items()}
    if text.lower() in named:
        return named[text.lower()]
    found = re.fullmatch(r" *(-?[0-9]{1,40}) *[x\u00d7] *(-?[0-9]{1,40}) *", text.lower())
    if found is None:
        raise Refused(
            f"'{text}' is no size; write width x height in px, such as 1920x1080, or one of "
            f"{', '.join(VIDEO_SIZES)}"
        )
    return int(found[1]), int(found[2])


def _no_view(view: str) -> Refused:
    return Refused(f"there is no view '{view}'; the views are {', '.join(every_view())}")


def _undrilled(ball: Ball, view: str) -> Refused:
    return Refused(f"{ball.design.name} is not drilled: the view '{view}' needs a drilling")
