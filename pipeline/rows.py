"""Many balls that differ in a few numbers: what they weigh, as columns.

Where a family's formulas take columns (`shapes.stack`) and every part can be shown to lie within
the spheres round it, a whole block of balls is weighed at once.  Any other ball is built by itself,
by the very stages that weigh a single design; the columns do not tell which way a row went.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from pipeline.axes import LEVEL, SPLIT_IN
from pipeline.ball import Ball, build_ball
from pipeline.design import Design, FreeDensity
from pipeline.errors import CorewrightError, KernelFault, NeedsSolids, OutOfReach
from pipeline.limits import COMPONENT_DENSITY_G_CM3
from pipeline.nest import Nest, nest_of
from pipeline.units import G_PER_MM3, MM_PER_IN
from pipeline.vary import numbers_at, with_numbers
from pipeline.wanted import AIMED, Varied
from pipeline.weigh import CENTRED_MM, MassProperties, weigh
from shapes.errors import ShapeError
from shapes.moments import Array, Mask

BLOCK = 2000  # balls at once: fewer pay more for Python, more leave the cache
WHY = (
    "",
    "a shape cannot be so",
    "a part leaves the ball, or has no volume left",
    "the ball's weight asks for a density outside its bounds",
    "parts cross so that only solids can weigh them",
)
_GOOD, _SHAPE, _SPACE, _WEIGHT, _CROSSED = range(5)
Codes = np.ndarray[tuple[int], np.dtype[np.int8]]


@dataclass(frozen=True, eq=False)
class Rows:
    """What n balls weigh.

    Attributes:
        figures: by the names of `AIMED`, each of shape (n,), mm or g; NaN where there is no such
            ball, or the figure is undefined.
        free_g_cm3: the density that was solved, shape (n,); NaN where none was.
        why: shape (n,), for each row what stands in its way: an index into `WHY`, zero for nothing.
    """

    figures: dict[str, Array]
    free_g_cm3: Array
    why: Codes

    @property
    def good(self) -> Mask:
        """Which rows are balls."""
        return np.asarray(self.why == _GOOD)

    def __len__(self) -> int:
        return len(self.why)


def figures_of(ball: Ball, properties: MassProperties) -> dict[str, float]:
    """The figures of one ball that can be aimed at, mm or g; NaN where undefined."""
    found = properties.principal
    pin_to_cg = properties.pin_to_cg_mm()
    return {
        "low_rg": float(found.rg_mm[0]),
        "intermediate_rg": float(found.rg_mm[1]),
        "high_rg": float(found.rg_mm[2]),
        "total_differential": found.total_differential_mm,
        "intermediate_differential": found.intermediate_differential_mm,
        "pin_to_cg": np.nan if pin_to_cg is None else pin_to_cg,
        "top_weight": properties.static_imbalance_g(),
        "mass": properties.mass_g,
        "core_mass": sum(p.mass_g for p in ball.parts if p.role in ("inner core", "insert")),
    }


def weigh_rows(
    design: Design, varied: Sequence[Varied], values: Array, *, sound: bool = False
) -> Rows:
    """What a design weighs with other numbers.

    Args:
        design: the design.
        varied: the numbers, and what follows them.
        values: shape (n, k), inner units.
        sound: whether bodies made of bodies are taken for sound without proof; a search proves
            what it ends with.
    """
    nest = nest_of(design, tuple(varied))
    blocks = [
        _block(design, varied, values[start : start + BLOCK], nest, sound=sound)
        for start in range(0, len(values), BLOCK)
    ]
    return Rows(
        {name: np.concatenate([b.figures[name] for b in blocks]) for name in AIMED},
        np.concatenate([b.free_g_cm3 for b in blocks]),
        np.concatenate([b.why for b in blocks]),
    )


@lru_cache(maxsize=8)
def needs_solids(design: Design) -> bool:
    """Whether the design as it stands can only be weighed by solids; then its rows are, too.

    Else a row whose parts cross is left out: a search would spend seconds on each.
    """
    try:
        build_ball(design, solids=False)
    except NeedsSolids:
        return True
    except (CorewrightError, KernelFault):
        return False
    return False


def _block(
    design: Design, varied: Sequence[Varied], values: Array, nest: Nest | None, *, sound: bool
) -> Rows:
    if nest is None or len(values) < 2:
        return _one_by_one(design, varied, values, sound=sound)
    numbers: Any = numbers_at(varied, list(values.T))  # columns follow as numbers do
    rows, proven = _together(design, nest, numbers, len(values))
    left = np.flatnonzero(~proven)
    if len(left):
        single = _one_by_one(design, varied, values[left], sound=sound)
        for name, column in rows.figures.items():
            column[left] = single.figures[name]
        rows.free_g_cm3[left] = single.free_g_cm3
        rows.why[left] = single.why
    return rows


def _one_by_one(design: Design, varied: Sequence[Varied], values: Array, *, sound: bool) -> Rows:
    n = len(values)
    solids = needs_solids(design)
    figures = {name: np.full(n, np.nan) for name in AIMED}
    free, why = np.full(n, np.nan), np.zeros(n, dtype=np.int8)
    for k, row in enumerate(values):
        try:
            one = with_numbers(design, numbers_at(varied, [float(v) for v in row]))
            ball = build_ball(one, sound=sound, solids=solids)
        except ShapeError:
            why[k] = _SHAPE
        except NeedsSolids:
            why[k] = _CROSSED
        except OutOfReach:
            why[k] = _WEIGHT
        except (CorewrightError, KernelFault):
            why[k] = _SPACE
        else:
            for name, value in figures_of(ball, weigh(ball)).items():
                figures[name][k] = value
            free[k] = next(
                (
                    part.density_g_cm3
                    for part in ball.parts
                    if isinstance(design.material(part.material).density, FreeDensity)
                ),
                np.nan,
            )
    return Rows(figures, free, why)


def _together(
    design: Design, nest: Nest, numbers: dict[str, Array], count: int
) -> tuple[Rows, Mask]:
    """All rows at once, and which of them are proven to be nested as the nest says."""
    claimed, taken, proven = nest.claims(numbers, count)
    volume = np.stack([c.volume_mm3 * np.ones(count) for c in claimed])  # (parts, n)
    density, free = _densities(design, numbers, volume)
    with np.errstate(all="ignore"):
        mass = (density * volume).sum(axis=0) * G_PER_MM3
        first = sum(d[:, None] * c.first_mm4 for d, c in zip(density, claimed, strict=True))
        second = sum(d[:, None, None] * c.second_mm5 for d, c in zip(density, claimed, strict=True))
    why = np.zeros(count, dtype=np.int8)
    if free is not None:
        low, high = _bounds(design)
        bad = ~((free >= low - 1e-12) & (free <= high + 1e-12))
        why[bad] = _WEIGHT
    with np.errstate(invalid="ignore"):
        why[(volume <= nest.least_volume_mm3).any(axis=0)] = _SPACE
    why[~taken] = _SHAPE
    figures = figures_of_moments(
        np.asarray(first), np.asarray(second), mass, design.diameter_mm / 2.0
    )
    figures["core_mass"] = (density * volume)[list(nest.core)].sum(axis=0) * G_PER_MM3
    solved = np.full(count, np.nan) if free is None else free
    for column in (*figures.values(), solved):
        column[why != _GOOD] = np.nan
    # rows that are refused are refused for sure; only balls must be proven
    return Rows(figures, solved, why), np.asarray(proven | (why == _SHAPE))


def _densities(
    design: Design, numbers: dict[str, Array], volume: Array
) -> tuple[Array, Array | None]:
    """Density of each part, shape (parts, n), and the one that was solved."""
    count = volume.shape[1]
    columns: dict[str, Array] = {}
    unknown = ""
    for material in design.materials:
        path = f"materials.{material.name}.density"
        if isinstance(material.density, FreeDensity):
            unknown = material.name
        else:
            columns[material.name] = numbers.get(path, np.full(count, material.density))
    names = [part.material for part in design.parts]
    solved = None
    if unknown:
        weight = numbers.get("ball.weight", np.full(count, design.weight_g or np.nan))
        rest = np.zeros(count)
        room = np.zeros(count)
        for name, space in zip(names, volume, strict=True):
            if name == unknown:
                room += space
            else:
                rest += columns[name] * space * G_PER_MM3
        with np.errstate(all="ignore"):
            solved = (weight - rest) / (room * G_PER_MM3)
        columns[unknown] = solved
    return np.stack([columns[name] for name in names]), solved


def _bounds(design: Design) -> tuple[float, float]:
    """Of the density that is solved."""
    (free,) = (m.density for m in design.materials if isinstance(m.density, FreeDensity))
    return free.from_g_cm3, min(free.to_g_cm3, COMPONENT_DENSITY_G_CM3)


def figures_of_moments(
    first: Array, second: Array, mass: Array, radius_mm: float
) -> dict[str, Array]:
    """Figures from moments of mass (in g/cm3 mm^n): shapes (n, 3), (n, 3, 3) and grams (n,)."""
    bad = ~(mass > 0.0)
    grams = np.where(bad, 1.0, mass)
    centre = np.where(bad[:, None], 0.0, first * G_PER_MM3) / grams[:, None]
    square = np.where(bad[:, None, None], np.eye(3), second * G_PER_MM3 / grams[:, None, None])
    spread = square - centre[:, :, None] * centre[:, None, :]
    level = np.abs(spread[:, (0, 0, 1), (1, 2, 2)]).max(axis=1) if len(spread) else np.zeros(0)
    trace = np.trace(spread, axis1=1, axis2=2)
    if (level == 0.0).all():  # square about the axes already
        own = np.diagonal(spread, axis1=1, axis2=2)
        axis = np.eye(3)[own.argmax(axis=1)]
        values = np.sort(trace[:, None] - own, axis=1)
    else:
        values, vectors = np.linalg.eigh(trace[:, None, None] * np.eye(3) - spread)
        axis = vectors[:, :, 0]
    rg = np.sqrt(np.maximum(values, 0.0))
    rg = _split(rg)
    away = np.linalg.norm(centre, axis=1)
    figures = {
        "low_rg": rg[:, 0],
        "intermediate_rg": rg[:, 1],
        "high_rg": rg[:, 2],
        "total_differential": rg[:, 2] - rg[:, 0],
        "intermediate_differential": rg[:, 2] - rg[:, 1],
        "pin_to_cg": _pin_to_cg(axis, centre, away, rg, radius_mm),
        "top_weight": grams * away / radius_mm,
        "mass": grams,
    }
    return {name: np.where(bad, np.nan, column) for name, column in figures.items()}


def _split(rg: Array) -> Array:
    """RGs that cannot be told apart made one, as `axes.principal` does."""
    split = SPLIT_IN * MM_PER_IN
    low, middle, high = rg.T
    all_one = high - low <= split
    upper = ~all_one & (high - middle <= split)
    lower = ~all_one & ~upper & (middle - low <= split)
    mean = rg.mean(axis=1)
    above, below = (middle + high) / 2.0, (low + middle) / 2.0
    return np.column_stack(
        [
            np.where(all_one, mean, np.where(lower, below, low)),
            np.where(all_one, mean, np.where(upper, above, np.where(lower, below, middle))),
            np.where(all_one, mean, np.where(upper, above, high)),
        ]
    )


def _pin_to_cg(axis: Array, centre: Array, away: Array, rg: Array, radius_mm: float) -> Array:
    """Along the surface from where the low axis leaves the ball on +Z to the CG mark."""
    axis = axis * _sign(axis)[:, None]
    along = (centre * axis).sum(axis=1)
    out = np.sqrt(np.maximum(radius_mm**2 - away**2 + along**2, 0.0)) - along
    pin = centre + out[:, None] * axis
    angle = np.arctan2(np.linalg.norm(np.cross(pin, centre), axis=1), (pin * centre).sum(axis=1))
    undefined = (rg[:, 1] - rg[:, 0] <= 0.0) | (away <= CENTRED_MM)
    return np.where(undefined, np.nan, radius_mm * angle)


def _sign(axis: Array) -> Array:
    """Plus or minus one a row, so that the first of z, x, y that counts is positive."""
    sign = np.ones(len(axis))
    open_ = np.ones(len(axis), dtype=bool)
    for k in (2, 0, 1):
        counts = open_ & (np.abs(axis[:, k]) > LEVEL)
        sign[counts] = np.sign(axis[counts, k])
        open_ &= ~counts
    return sign
