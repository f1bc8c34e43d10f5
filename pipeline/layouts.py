"""Many layouts of one grip on one ball: what each leaves of the core's figures.

The grip's columns are cut once, in its own frame; a layout turns them into the ball's, so that a
whole block of layouts is weighed together.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from pipeline.ball import Ball
from pipeline.crew import Crew, done
from pipeline.drilled import bores_of, drill_holes
from pipeline.drilling import ByDistances, Drilling, Hand, Place
from pipeline.errors import BallError, CorewrightError
from pipeline.flare import first_steps_mm
from pipeline.grip import PlacedGrip, mirrored, on_surface, placed_grip
from pipeline.layout import (
    Laid,
    MarkUndecided,
    check_asked,
    check_holes,
    check_mark,
    frame_of_layout,
    marks_of,
    where,
)
from pipeline.rows import figures_of_moments
from pipeline.units import G_PER_LB, G_PER_MM3, G_PER_OZ, MM_PER_IN
from pipeline.weigh import MassProperties, weigh
from shapes.bored import Taken, columns_of, taken_turned
from shapes.moments import Array, Mask

FINENESS = 2
BLOCK = 50  # layouts that are weighed together: more would only take memory
FIGURES = {
    "mass [lb]": "mass",
    "low RG [in]": "low_rg",
    "intermediate RG [in]": "intermediate_rg",
    "high RG [in]": "high_rg",
    "total differential [in]": "total_differential",
    "intermediate differential [in]": "intermediate_differential",
    "top weight [oz]": "top",
    "side weight [oz]": "side",
    "finger weight [oz]": "finger",
    "flare index [in]": "flare",
}
OPEN = "triangle does not close"
TWO_MARKS = "the mark's two places are not told apart"
_PROBES = 5  # layouts that are weighed finely too, to tell how far off the others may be


class LayoutsError(CorewrightError):
    """These layouts cannot be mapped."""


@dataclass(frozen=True, eq=False)
class Field:
    """A grid of layouts.

    Attributes:
        ball: the ball, undrilled.
        properties: what it weighs.
        asked: its drilling; the layout's two distances vary.
        grip: its holes in the grip's frame.
        hand: of the bowler.
        to_axis_mm: shape (n,), pin to axis point.
        to_val_mm: shape (m,), pin to vertical axis line.
    """

    ball: Ball
    properties: MassProperties
    asked: Drilling
    grip: PlacedGrip
    hand: Hand
    to_axis_mm: Array
    to_val_mm: Array

    @property
    def count(self) -> int:
        """How many layouts."""
        return len(self.to_axis_mm) * len(self.to_val_mm)

    @property
    def blocks(self) -> int:
        """How many blocks of them."""
        return -(-self.count // BLOCK)

    def distances(self, k: int) -> tuple[float, float]:
        """The two distances of a layout, the second running fastest."""
        i, j = divmod(k, len(self.to_val_mm))
        return float(self.to_axis_mm[i]), float(self.to_val_mm[j])


@dataclass(frozen=True, eq=False)
class Mapped:
    """Layouts and what they leave.

    Attributes:
        figures: by the names of `FIGURES`, each shape (n,), in the unit that stands there; NaN
            where there is no such layout.
        why: what stands in the way of each; empty for those that there are.
    """

    figures: dict[str, Array]
    why: tuple[str, ...]

    @property
    def closes(self) -> Mask:
        """Which there are, shape (n,)."""
        return np.array([not why for why in self.why], dtype=bool)


def field_of(
    ball: Ball, pin_in: tuple[float, float], val_in: tuple[float, float], steps: tuple[int, int]
) -> Field:
    """A grid from the ends of two distances, inches, and how many values of each.

    Raises:
        LayoutsError: the design has no grip whose layout is told by distances.
    """
    asked = ball.design.drilling
    if asked is None or asked.grip is None or not isinstance(asked.layout, ByDistances):
        raise LayoutsError(
            f"{where(ball, asked.line if asked else 0)}: a map of layouts needs a drilling with a "
            "grip and a layout by distances (pin_to_axis_point, pin_to_val, pin)"
        )
    for name, (low, high) in (("pin", pin_in), ("val", val_in)):
        if not low < high:
            raise LayoutsError(f"--{name}: from {low:g} to {high:g} in is no range")
    if pin_in[0] <= 0.0:
        raise LayoutsError("--pin: a pin on the axis point itself has no layout; start above 0")
    if min(steps) < 2 or steps[0] * steps[1] > 100_000:
        raise LayoutsError(f"--steps: {steps[0]} x {steps[1]} layouts; 2 x 2 to 100,000 in all")
    axis, val = (
        MM_PER_IN * np.linspace(*ends, count)
        for ends, count in zip((pin_in, val_in), steps, strict=True)
    )
    assert asked.hand is not None
    if asked.holes:
        raise LayoutsError(
            f"{where(ball, asked.line)}: a map of layouts turns the grip about the "
            "ball, and raw holes stay where they are: take 'holes' out of the drilling"
        )
    check_asked(ball, asked)
    properties = weigh(ball)
    _, mark = marks_of(properties)
    told = where(ball, asked.layout.line or asked.line)
    check_mark(asked.layout.mark_to_axis_point_mm is not None, mark, told)
    grip = placed_grip(asked.grip, asked.hand, ball.radius_mm, partial(where, ball))
    check_holes(ball, grip.holes)
    return Field(ball, properties, asked, grip, asked.hand, axis, val)


def parse_ends(option: str, text: str) -> tuple[float, float]:
    """Two numbers such as '1:6.5'.

    Raises:
        LayoutsError: the text is no such pair.

    >>> parse_ends("pin", "1:6.5")
    (1.0, 6.5)
    """
    low, colon, high = text.partition(":")
    try:
        ends = float(low), float(high)
    except ValueError:
        ends = (np.nan, np.nan)
    if not colon or not np.isfinite(ends).all():
        raise LayoutsError(f"--{option}: '{text}' is no range in inches, such as 1:6.5")
    return ends


def parse_steps(text: str) -> tuple[int, int]:
    """Two counts such as '20x30', or one for both.

    Raises:
        LayoutsError: the text is no such pair.
    """
    words = text.lower().split("x")
    try:
        counts = [int(word) for word in words]
    except ValueError:
        counts = []
    if len(counts) == 1:
        counts *= 2
    if len(counts) != 2:
        raise LayoutsError(f"--steps: '{text}' are no two counts, such as 20x30")
    return counts[0], counts[1]


def mapped_block(field: Field, block: int) -> Mapped:
    """The layouts of one block."""
    ball, asked, grip, hand = field.ball, field.asked, field.grip, field.hand
    first = block * BLOCK
    index = range(first, min(first + BLOCK, field.count))
    frames, why = _frames(field, index)
    closes = np.array([not word for word in why], dtype=bool)
    figures = {name: np.full(len(index), np.nan) for name in FIGURES}
    if not closes.any():
        return Mapped(figures, why)
    columns = columns_of(bores_of(grip.holes), FINENESS)
    found = taken_turned(columns, ball.bodies, frames[closes])
    first_moment, second, mass = _moments(field, grip, found)
    known = figures_of_moments(first_moment, second, mass, ball.radius_mm)
    turned = frames[closes]
    sense = 1.0 if hand == "right" else -1.0
    lean = first_moment / ball.radius_mm
    static = np.einsum("ni,nij->nj", lean, turned) * G_PER_MM3 / G_PER_OZ
    assert isinstance(asked.axis_point, Place)
    axis = turned @ mirrored(on_surface(asked.axis_point, ball.radius_mm), hand)
    steps = first_steps_mm(_inertia(first_moment, second, mass), sense * axis, ball.radius_mm)
    columns_in = {
        "mass": known["mass"] / G_PER_LB,
        "top": static[:, 0],
        "side": static[:, 1] * (1.0 if hand == "right" else -1.0),
        "finger": static[:, 2],
        "flare": steps / MM_PER_IN,
    }
    for name, key in FIGURES.items():
        figures[name][closes] = columns_in[key] if key in columns_in else known[key] / MM_PER_IN
    return Mapped(figures, why)


def mapped(
    field: Field, crew: Crew, told: Callable[[int, int], None] = lambda _a, _b: None
) -> Mapped:
    """Every layout of a grid, block by block.

    Args:
        field: the grid.
        crew: who does it.
        told: called with the blocks done and those there are.
    """
    blocks: dict[int, Mapped] = {}
    for k, block in done(partial(mapped_block, field), range(field.blocks), crew):
        blocks[k] = block
        told(len(blocks), field.blocks)
    return together([blocks[k] for k in range(field.blocks)])


def together(blocks: list[Mapped]) -> Mapped:
    """Blocks one after the other."""
    return Mapped(
        {name: np.concatenate([b.figures[name] for b in blocks]) for name in FIGURES},
        tuple(word for b in blocks for word in b.why),
    )


def within_in(field: Field, found: Mapped) -> float:
    """How far an RG of the map was off, inches, at some layouts that are weighed finely too."""
    good = np.flatnonzero(found.closes)
    if len(good) == 0:
        raise LayoutsError(
            "there is none of these layouts: "
            + "; ".join(sorted({why for why in found.why if why}))
            + "; choose other ends for --pin and --val"
        )
    worst = 0.0
    for k in good[np.linspace(0, len(good) - 1, min(_PROBES, len(good))).round().astype(int)]:
        exact = drill_holes(field.ball, field.properties, laid_at(field, int(k)))
        for name, rg in zip(list(FIGURES)[1:4], exact.properties.principal.rg_mm, strict=True):
            worst = max(worst, abs(float(rg) / MM_PER_IN - float(found.figures[name][k])))
    return worst


def laid_at(field: Field, k: int) -> Laid:
    """One layout, with its holes in the ball frame."""
    grip, hand = field.grip, field.hand
    frames, _ = _frames(field, range(k, k + 1))
    pin, mark = marks_of(field.properties)
    assert isinstance(field.asked.axis_point, Place)
    at = on_surface(field.asked.axis_point, field.ball.radius_mm)
    axis = frames[0] @ mirrored(at, hand)
    holes = tuple(hole.turned(frames[0]) for hole in grip.holes)
    return Laid(holes, hand, axis, frames[0], pin, mark)


def _frames(field: Field, index: range) -> tuple[Array, tuple[str, ...]]:
    """From the grip's frame to the ball's, layout by layout, and whether there is one."""
    pin, mark = marks_of(field.properties)
    frames = np.tile(np.eye(3), (len(index), 1, 1))
    why = [""] * len(index)
    told = where(field.ball, field.asked.line)
    assert isinstance(field.asked.layout, ByDistances)
    for row, k in enumerate(index):
        to_axis, to_val = field.distances(k)
        layout = replace(field.asked.layout, pin_to_axis_point_mm=to_axis, pin_to_val_mm=to_val)
        try:
            frames[row] = frame_of_layout(
                layout, field.asked, pin, mark, field.ball.radius_mm, told
            )
        except MarkUndecided:
            why[row] = TWO_MARKS
        except BallError:
            why[row] = OPEN
    return frames, tuple(why)


def _moments(field: Field, grip: PlacedGrip, found: list[Taken]) -> tuple[Array, Array, Array]:
    """First and second moments of mass (g/cm3 mm^n) and the mass, g, of every drilled ball."""
    parts, fills = field.ball.parts, [h.drill.insert for h in grip.holes if h.drill.insert]
    first, second, volume = [], [], []
    for one in found:
        moments = [p.claimed - gone for p, gone in zip(parts, one.of_bodies, strict=True)]
        density = [p.density_g_cm3 for p in parts] + [f.density_g_cm3 for f in fills]
        moments += list(one.by_bores[len(grip.holes) :])
        first.append(sum(d * m.first_mm4 for d, m in zip(density, moments, strict=True)))
        second.append(sum(d * m.second_mm5 for d, m in zip(density, moments, strict=True)))
        volume.append(sum(d * m.volume_mm3 for d, m in zip(density, moments, strict=True)))
    return np.array(first), np.array(second), np.array(volume) * G_PER_MM3


def _inertia(first: Array, second: Array, mass_g: Array) -> Array:
    """Tensors about the centres of gravity, g mm2, shape (n, 3, 3)."""
    centre = first * G_PER_MM3 / mass_g[:, None]
    spread = second * G_PER_MM3 - mass_g[:, None, None] * centre[:, :, None] * centre[:, None, :]
    trace = np.trace(spread, axis1=1, axis2=2)
    return np.asarray(trace[:, None, None] * np.eye(3) - spread)
