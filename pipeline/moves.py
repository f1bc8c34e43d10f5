"""The moves there are, by name: each prepares a take from a ball."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from pipeline.ball import Ball
from pipeline.caption import figures_said
from pipeline.cutaway import Cutting, Wedge, shells_of
from pipeline.digits import inches
from pipeline.drilled_views import DRILLED_VIEWS
from pipeline.errors import OutputError
from pipeline.exploded import exploded_scene, pieces_of
from pipeline.morph import morph, numbers_of
from pipeline.picture import check_view, scene_by
from pipeline.roll import let_roll, roll
from pipeline.scene import Camera, Scene
from pipeline.staging import core_parts, legend_of, scene_of, surfaces_of
from pipeline.take import Asked, Caption, Take, eased, there_and_back
from pipeline.turning import about, drilled_from, orbited, rolled_over, seen_from, turned
from pipeline.views import ASIDE_DEG, OPENING_DEG, camera_for, everything, ghosted
from pipeline.weigh import MassProperties, weigh
from pipeline.wish import Wish
from shapes.moments import Array

_AXES = ("low", "intermediate", "high")
_LEAST_DEG = 1.0  # a narrower wedge is no wider than its own edges
_TURNED = ("cutaway", "whole", "ghost", "half", "quarter", "exploded", "core", "axes", "ellipsoid",
           "rg-sphere", "drilled", "bored", "rings")  # fmt: skip


@dataclass(frozen=True)
class Move:
    """A way to film a ball.

    Attributes:
        prepare: from what is asked to a take.
        views: those that it can film; the first one is taken where none is asked for.
        takes: the fields of a wish that it heeds; None for those of the view.
        seconds: how long it lasts where nothing is asked for.
        says: what it shows.
    """

    prepare: Callable[[Asked], Take]
    views: tuple[str, ...]
    takes: frozenset[str] | None
    seconds: float
    says: str


def turntable(asked: Asked) -> Take:
    """One turn about the upright."""
    scene = scene_by(asked.ball, asked.view, asked.wish)

    def at(share: float) -> Scene:
        camera = orbited(scene.camera, 360.0 * share)
        return _seen_from(scene, camera, asked)

    return Take(at, True, _said(scene))


def tumble(asked: Asked) -> Take:
    """One turn head over heels while it turns about the upright once; of names only the axes'."""
    scene = scene_by(asked.ball, asked.view, asked.wish)
    if asked.view not in DRILLED_VIEWS:
        scene = replace(scene, marks=(), extent_mm=None)
        scene = replace(scene, labels=tuple(x for x in scene.labels if x.key in _AXES))

    def at(share: float) -> Scene:
        camera = rolled_over(orbited(scene.camera, 360.0 * share), 360.0 * share)
        return _seen_from(scene, camera, asked)

    return Take(at, True, _said(scene))


def opening(asked: Asked) -> Take:
    """A wedge opens round the core, each frame by a true solid cut."""
    ball, properties, wish = asked.ball, asked.properties, asked.wish
    camera = camera_for(properties, wish)
    most = wish.opening_deg or OPENING_DEG
    toward = camera.azimuth_deg + ASIDE_DEG if wish.toward_deg is None else wish.toward_deg
    core, all_parts = core_parts(ball), everything(ball)
    within = surfaces_of(ball, shells_of(ball, Cutting(None, frozenset(), core))) if core else ()
    whole = surfaces_of(ball, shells_of(ball, Cutting(None, frozenset(), all_parts)))

    def at(share: float) -> Scene:
        wide = most * eased((share - 0.06) / 0.74)
        if wide < _LEAST_DEG:
            surfaces = whole
        else:
            cutting = Cutting(Wedge(toward, wide), all_parts - core, all_parts)
            shells = shells_of(ball, cutting, only=all_parts - core)
            surfaces = (*within, *surfaces_of(ball, shells, hatched=wish.hatched))
        scene = scene_of(ball, properties, camera, surfaces, ("A wedge is cut out.",))
        return replace(scene, legend=legend_of(ball, set(all_parts)))

    return Take(at, False, _said(at(1.0)), (0.0, 1.0), 1.0)


def apart(asked: Asked) -> Take:
    """Drawn apart along the core's axis as drawn, and put together again."""
    ball, properties, wish = asked.ball, asked.properties, asked.wish
    pieces = pieces_of(ball, hatched=wish.hatched)
    widest = exploded_scene(ball, properties, pieces, 1.0, wish)

    def at(share: float) -> Scene:
        out = there_and_back(share)
        scene = exploded_scene(ball, properties, pieces, out, wish)
        fade = round(eased((out - 0.55) / 0.4), 3)
        return replace(
            scene,
            labels=tuple(replace(label, fade=fade) for label in scene.labels),
            reach_mm=widest.reach_mm,
            extent_mm=widest.extent_mm,
        )

    return Take(at, True, _said(widest), (0.0, 0.5), 0.5)


def spins(asked: Asked) -> Take:
    """One turn about the low-RG axis, then one about the intermediate, then one about the high."""
    ball, properties = asked.ball, asked.properties
    camera = camera_for(properties, asked.wish)
    what = "Principal axes through the centre of gravity, with the RG about each."
    scene = scene_of(ball, properties, camera, ghosted(ball), (what,))
    legs = _legs(properties, camera.axes()[0])

    def at(share: float) -> Scene:
        k = min(int(share * len(legs)), len(legs) - 1)
        name, axis, _ = legs[k]
        within = share * len(legs) - k
        found = _seen_from(scene, turned(camera, about(axis, 2.0 * np.pi * eased(within))), asked)
        return _pointed_out(found, name, eased(min(within, 1.0 - within) / 0.12))

    captions = tuple(
        Caption(k / len(legs), (k + 1) / len(legs), words) for k, (*_, words) in enumerate(legs)
    )
    return Take(at, True, captions, tuple(n / 24 for n in range(24)))


def _seen_from(scene: Scene, camera: Camera, asked: Asked) -> Scene:
    if asked.view in DRILLED_VIEWS:
        return drilled_from(scene, camera)
    return seen_from(scene, camera, asked.ball, asked.properties)


def _legs(properties: MassProperties, right: Array) -> list[tuple[str, Array, str]]:
    """The axes to turn about, each with its name and a sentence; any axis of a plane will do."""
    principal = properties.principal
    low, middle, high = (f"{inches(x, properties, 3)} in" for x in principal.rg_mm)
    if principal.symmetry == "spherical":
        return [("low", np.array([0.0, 0.0, 1.0]), f"Any axis will do: the RG is {low} about all.")]
    named = [
        ("low", principal.low, low),
        ("intermediate", principal.intermediate, middle),
        ("high", principal.high, high),
    ]
    found = [
        (name, np.asarray(axis), f"Turning about the {name}-RG axis: RG {rg}.")
        for name, axis, rg in named
        if axis is not None
    ]
    if principal.symmetry == "symmetrical":
        only = found[0][1]
        across = right - (right @ only) * only
        name, rg = ("high", high) if principal.low is not None else ("low", low)
        words = f"Turning about an axis across it: RG {rg}, the same in any direction."
        found.append((name, across / np.linalg.norm(across), words))
    return found


def _pointed_out(scene: Scene, name: str, share: float) -> Scene:
    """The scene with the other axes' names so far faded; at first and at last all are alike."""
    return replace(
        scene,
        labels=tuple(
            replace(label, fade=1.0 if label.key == name else round(1.0 - 0.65 * share, 3))
            if label.key in _AXES
            else label
            for label in scene.labels
        ),
    )


def _said(scene: Scene) -> tuple[Caption, ...]:
    """What is shown, and then what the card says."""
    lines = [line for line in (f"{scene.name}. {scene.notes[0]}", figures_said(scene)) if line]
    return tuple(
        Caption(k / len(lines), (k + 1) / len(lines), words) for k, words in enumerate(lines)
    )


MOVES: dict[str, Move] = {
    "turntable": Move(turntable, _TURNED, None, 6.0, "one turn about the upright"),
    "tumble": Move(tumble, _TURNED, None, 8.0, "one turn head over heels"),
    "opening": Move(
        opening, ("cutaway",),
        frozenset({"toward_deg", "opening_deg", "faces", "from_deg", "above_deg"}), 4.0,
        "a wedge opens round the core",
    ),
    "apart": Move(
        apart, ("exploded",), frozenset({"faces", "from_deg", "above_deg"}), 8.0,
        "drawn apart along the core's axis as drawn and put together again",
    ),
    "spins": Move(
        spins, ("axes",), frozenset({"from_deg", "above_deg"}), 9.0,
        "a turn about each principal axis",
    ),
    "morph": Move(
        morph, ("ghost",), frozenset({"from_deg", "above_deg", "number"}), 6.0,
        "the numbers of the design's vary section go from low to high and back",
    ),
    "roll": Move(
        roll, ("rings",), frozenset(), 8.0, "the drilled ball turns and lays its track rings",
    ),
}  # fmt: skip


def take_of(ball: Ball, move: str, view: str, wish: Wish) -> Take:
    """A move of a ball, prepared.

    Args:
        ball: what is filmed.
        move: one of MOVES.
        view: what is filmed of it; empty for what suits the move.
        wish: what else is asked.

    Raises:
        OutputError: there is no such move, or it cannot film that view, or takes no such wish.
    """
    view = check_take(ball, move, view, wish)
    return MOVES[move].prepare(Asked(ball, weigh(ball), view, wish))


def check_take(ball: Ball, move: str, view: str, wish: Wish) -> str:
    """Refuse what `take_of` would refuse, before any work; the view that is filmed.

    Raises:
        OutputError: see `take_of`.
    """
    if move not in MOVES:
        raise OutputError(f"there is no move '{move}'; the moves are {', '.join(MOVES)}")
    found = MOVES[move]
    view = view or found.views[0]
    if view not in found.views:
        raise OutputError(
            f"the move '{move}' cannot film the view '{view}'; it films {', '.join(found.views)}"
        )
    if found.takes is not None:
        wish.check(move, found.takes)
    else:
        check_view(ball, view, wish)
    if move == "morph":
        numbers_of(ball, wish)
    if move == "roll":
        let_roll(ball)
    return view
