"""The views of one ball, whole and cut, each a function from ball, figures and wish to a scene."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from pipeline.ball import Ball
from pipeline.cutaway import Cutting, Wedge, shells_of
from pipeline.errors import OutputError
from pipeline.kernel import kernel
from pipeline.scene import Camera, Scene, Surface
from pipeline.shells import FINE, Fineness, Shell, shell_of
from pipeline.staging import azimuth_of, core_parts, scene_of, surfaces_of
from pipeline.weigh import MassProperties
from pipeline.wish import Wish
from shapes.placed import Placed

OPENING_DEG = 120.0
ASIDE_DEG = 9.0  # the wedge looks a little past the camera, so that one wall shows more
ELEVATION_DEG = 21.0
GHOST, THIN_GHOST = 0.34, 0.20  # opacity of a cover, and of outer cores within it
LOOKING = frozenset({"from_deg", "above_deg"})


def camera_for(
    properties: MassProperties, wish: Wish, turn_deg: float = -45.0, rise_deg: float = ELEVATION_DEG
) -> Camera:
    """Where a view is seen from: where asked, else so that the high-RG axis shows to the right."""
    azimuth = azimuth_of(properties.principal) + turn_deg
    return Camera(
        azimuth if wish.from_deg is None else wish.from_deg,
        rise_deg if wish.above_deg is None else wish.above_deg,
    )


def whole(ball: Ball, properties: MassProperties, wish: Wish) -> Scene:
    """The ball from outside, with its axes and marks."""
    shells = shells_of(ball, Cutting(None, frozenset(), everything(ball)))
    camera = camera_for(properties, wish)
    return scene_of(
        ball, properties, camera, surfaces_of(ball, shells), ("The whole ball.",), closed=True
    )


def ghost(ball: Ball, properties: MassProperties, wish: Wish) -> Scene:
    """The core, seen through all that is poured round it."""
    camera = camera_for(properties, wish)
    what = "What is poured round the core is drawn as if one could see through it."
    return scene_of(ball, properties, camera, ghosted(ball), (what,), axes=False)


def axes(ball: Ball, properties: MassProperties, wish: Wish, *, fine: Fineness = FINE) -> Scene:
    """The principal axes with their RGs, through the core in a ball one can see through."""
    camera = camera_for(properties, wish)
    what = "Principal axes through the centre of gravity, with the RG about each."
    return scene_of(ball, properties, camera, ghosted(ball, fine), (what,))


def cutaway(ball: Ball, properties: MassProperties, wish: Wish, *, fine: Fineness = FINE) -> Scene:
    """Three-quarter view; a wedge is taken out of whatever is poured round the core."""
    camera = camera_for(properties, wish)
    opening = wish.opening_deg or OPENING_DEG
    toward = camera.azimuth_deg + ASIDE_DEG if wish.toward_deg is None else wish.toward_deg
    cut = everything(ball) - core_parts(ball)
    surfaces = opened(ball, toward, opening, cut, hatched=wish.hatched, fine=fine)
    what = f"A wedge of {opening:g}\u00b0 is cut out."
    return scene_of(ball, properties, camera, surfaces, (what,))


def quarter(ball: Ball, properties: MassProperties, wish: Wish) -> Scene:
    """A quarter of everything is taken away, the core too."""
    camera = camera_for(properties, wish)
    toward = camera.azimuth_deg + ASIDE_DEG if wish.toward_deg is None else wish.toward_deg
    surfaces = opened(ball, toward, 90.0, everything(ball), hatched=wish.hatched)
    return scene_of(ball, properties, camera, surfaces, ("A quarter of all is cut out.",))


def half(ball: Ball, properties: MassProperties, wish: Wish) -> Scene:
    """Half of everything is taken away; the section lies square to the view."""
    camera = camera_for(properties, wish, -90.0, 0.0)
    toward = camera.azimuth_deg if wish.toward_deg is None else wish.toward_deg
    surfaces = opened(ball, toward, 180.0, everything(ball), hatched=wish.hatched)
    return scene_of(ball, properties, camera, surfaces, ("Section through the ball's centre.",))


def core(ball: Ball, properties: MassProperties, wish: Wish) -> Scene:
    """The inner core and its inserts alone, whole.

    Raises:
        OutputError: the ball has no core.
    """
    surfaces = core_alone(ball)
    camera = camera_for(properties, wish)
    return scene_of(ball, properties, camera, surfaces, ("The core alone, uncut.",))


def everything(ball: Ball) -> frozenset[int]:
    """All parts."""
    return frozenset(range(len(ball.parts)))


def core_alone(ball: Ball) -> tuple[Surface, ...]:
    """The surfaces of the inner core and its inserts.

    Raises:
        OutputError: the ball has no core.
    """
    drawn = core_parts(ball)
    if not drawn:
        raise OutputError(
            f"{ball.design.name} has no core to draw alone: ask for another view, such as 'cutaway'"
        )
    return surfaces_of(ball, shells_of(ball, Cutting(None, frozenset(), drawn)))


def opened(
    ball: Ball,
    toward_deg: float,
    opening_deg: float,
    cut: frozenset[int],
    *,
    hatched: bool = True,
    fine: Fineness = FINE,
) -> tuple[Surface, ...]:
    """The surfaces of a ball with a wedge taken out of some of its parts, by a true solid cut."""
    cutting = Cutting(Wedge(toward_deg, opening_deg), cut, everything(ball), fine=fine)
    return surfaces_of(ball, shells_of(ball, cutting), hatched=hatched)


def ghosted(ball: Ball, fine: Fineness = FINE) -> tuple[Surface, ...]:
    """The core as it is, and what is poured round it as if one could see through it, inside out."""
    drawn = core_parts(ball)
    cutting = Cutting(None, frozenset(), drawn, fine=fine)
    solid = surfaces_of(ball, shells_of(ball, cutting)) if drawn else ()
    clear = [clear_outside(ball, k) for k in sorted(everything(ball) - drawn)]
    return (*solid, *(surface for surfaces in clear for surface in surfaces))


def clear_outside(ball: Ball, k: int) -> tuple[Surface, ...]:
    """The outside of the k-th part as if one could see through it."""
    shell = replace(outside_of(ball.parts[k].body), part=k)
    opacity = GHOST if k == len(ball.parts) - 1 else THIN_GHOST
    return tuple(replace(s, opacity=opacity) for s in surfaces_of(ball, [shell]))


@lru_cache(maxsize=16)
def outside_of(body: Placed) -> Shell:
    """The outside of a whole body; kept, since it stays as it is while cores change in it."""
    with kernel():
        from shapes.solid import placed

        return shell_of(placed(body.shape.solid(), body.placement), 0)
