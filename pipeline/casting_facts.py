"""Every value that a casting is made by, in words, and whether it was only assumed."""

from __future__ import annotations

from collections.abc import Sequence
from math import degrees

import numpy as np

from pipeline.ball import Ball
from pipeline.castings import Casting
from pipeline.channels import PROUD_MM
from pipeline.facts import Fact
from pipeline.moulds import KEYS, Tool
from pipeline.process import CastingAsked, ChannelAsked, EjectorAsked, Shrinkage
from pipeline.tolerances import named
from shapes.moments import Array
from shapes.pieces import Split

METHOD = "gravity pour"
TOLERANCE = "medium"
DRAFT_DEG = 1.0  # 1 to 2 degrees on smooth walls, 0.5 the bare least: second-hand
UPRIGHT_MM = 5.0  # a wall so low comes free by the compound's own shrinking: common practice
CUTTER_MM = 1.5  # common practice, no source
FILLET_MM = 1.0  # 1 to 3 mm: common practice, no source
LEAST_WALL_MM = 3.0  # common practice, no source
SHIFT_MM = 1.0  # a guess, to be replaced by a measured one
MOULDS = {
    "loose": "cast by itself in a mould of its own",
    "round": "poured round the parts inside",
    "none": "no mould",
}


def draft_deg(asked: CastingAsked) -> float:
    """The least draft wanted."""
    return asked.draft_deg or DRAFT_DEG


def ball_facts(ball: Ball) -> tuple[Fact, ...]:
    """What holds for all castings of a ball."""
    process = ball.design.process
    word = process.tolerance or TOLERANCE
    shift = SHIFT_MM if process.shift_mm is None else process.shift_mm
    return (
        Fact("general tolerances", f"{named(word)} ({word})", process.tolerance is None),
        Fact("worst shift of a part", f"{shift:g} mm", process.shift_mm is None),
        _limit("core to ball surface", "at least", process.surface_mm),
    )


def casting_facts(casting: Casting) -> tuple[Fact, ...]:
    """What is cast, how, and how it shrinks."""
    asked = casting.asked
    inside = ", ".join(one.part.name for one in casting.inside)
    mould = MOULDS[casting.mould] + (f": {inside}" if inside else "")
    found = [
        Fact("process", asked.method or METHOD, asked.method is None),
        Fact("mould", mould, asked.mould is None),
        _shrinkage(casting),
        Fact("machining stock", f"{asked.stock_mm or 0.0:g} mm all round", asked.stock_mm is None),
    ]
    if casting.hole is None:
        found.append(Fact("rod hole", "none", True))
    else:
        side = casting.asked.rod.side if casting.asked.rod else ""
        words = ", ".join(hole_lines(casting)[1:])
        found.append(Fact("rod hole", f"{words}; {side} side"))
    return tuple(found)


def hole_lines(casting: Casting) -> tuple[str, ...]:
    """The rod's hole in the cold casting, as a call-out says it, in short lines."""
    asked = casting.asked.rod
    assert asked is not None
    size = f"\u00d8 {asked.diameter_mm:g}"
    if asked.depth_mm is not None:
        size += f" \u00d7 {asked.depth_mm:g} deep"
    lines = ["rod hole", size]
    if asked.depth_mm is None:
        lines.append("to the part inside")
    lines.append(f"taper {asked.taper_deg:g}\u00b0 a side" if asked.taper_deg else "no taper")
    if asked.at_mm != (0.0, 0.0):
        lines.append(f"about {_said(asked.at_mm)} mm")
    return tuple(lines)


def tool_facts(tool: Tool) -> tuple[Fact, ...]:
    """How its mould is made."""
    asked, block = tool.casting.asked, tool.mould.block
    keys = asked.keys or KEYS
    sizes = " \u00d7 ".join(f"{size:g}" for size in block.size_mm)
    found = [
        Fact("draft wanted", f"{draft_deg(asked):g}\u00b0", asked.draft_deg is None),
        Fact(
            "low wall",
            f"walls up to {UPRIGHT_MM if asked.upright_mm is None else asked.upright_mm:g} mm may "
            "have less",
            asked.upright_mm is None,
        ),
        *(
            Fact(
                f"parting plane {k + 1}",
                plane_words(split, tool.casting.shrinkage),
                asked.splits is None,
            )
            for k, split in enumerate(tool.splits)
        ),
        Fact("block", f"{sizes} mm", asked.block_mm is None),
        Fact(
            "keys", f"cones \u00d8 {keys.diameter_mm:g} \u00d7 {keys.height_mm:g} mm, one smaller",
            asked.keys is None,
        ),
        *_channels("gate", asked.gates),
        *_channels("vent", asked.vents),
        *_ejectors(asked.ejectors),
        Fact("deflash allowance", f"{asked.deflash_mm or 0.0:g} mm", asked.deflash_mm is None),
        Fact("finest cutter", f"R {asked.cutter_mm or CUTTER_MM:g} mm", asked.cutter_mm is None),
        Fact("least fillet", f"R {asked.fillet_mm or FILLET_MM:g} mm", asked.fillet_mm is None),
        Fact(
            "least wall", f"{asked.least_wall_mm or LEAST_WALL_MM:g} mm",
            asked.least_wall_mm is None,
        ),
        _limit("largest ball inside", "at most", asked.thickest_mm),
    ]  # fmt: skip
    return tuple(found)


def _limit(label: str, words: str, limit_mm: float | None) -> Fact:
    """A limit that only the design can give."""
    if limit_mm is None:
        return Fact(label, "no limit is known", True)
    return Fact(label, f"{words} {limit_mm:g} mm")


def plane_words(split: Split, shrinkage: Shrinkage | None = None) -> str:
    """A parting plane by its pull and height in the part's own frame: as cut, and cold."""
    pull, cut = way_words(split.normal), split.height_mm + 0.0
    if shrinkage is None or not (shrinkage.along or shrinkage.across):
        return f"drawn {pull}, {cut:.2f} mm from the part's origin"
    less = [1.0 - shrinkage.across] * 2 + [1.0 - shrinkage.along]
    normal = np.array(split.normal) / less  # a cold plane is its image under the inverse
    cold = cut / float(np.linalg.norm(normal)) + 0.0
    if round(cold, 2) == round(cut, 2):
        return f"drawn {pull}, {cut:.2f} mm from the part's origin"
    return f"drawn {pull}, {cold:.2f} mm from the part's origin cold, {cut:.2f} mm as cut"


def way_words(way: Sequence[float] | Array) -> str:
    """A direction in words: an axis where it is one, else its components."""
    for k, axis in enumerate("XYZ"):
        if abs(abs(way[k]) - 1.0) < 1e-12:
            return ("+" if way[k] > 0.0 else "\u2212") + axis
    said = ", ".join(f"{c + 0.0:.4f}" for c in way)
    lean = degrees(np.arccos(min(1.0, abs(way[2]))))
    return f"({said}), {lean:.1f}\u00b0 from Z"


def _channels(label: str, asked: Sequence[ChannelAsked]) -> list[Fact]:
    """Gates or vents, a line each."""
    if not asked:
        return [Fact(f"{label}s", "none", True)]
    return [
        Fact(
            f"{label} {k}",
            f"\u00d8 {one.diameter_mm:g} mm at the part, toward {way_words(one.toward)} through "
            f"{_said(one.through_mm)} mm cold, taper {one.taper_deg:g}\u00b0 a side",
        )
        for k, one in enumerate(asked, start=1)
    ]


def _ejectors(asked: Sequence[EjectorAsked]) -> list[Fact]:
    """Ejector flats, a line each."""
    if not asked:
        return [Fact("ejector flats", "none", True)]
    return [
        Fact(
            f"ejector flat {k}",
            f"\u00d8 {one.diameter_mm:g} mm through {_said(one.at_mm)} mm cold, in piece "
            f"{one.piece}, {PROUD_MM:g} mm proud; on the mould, not on the cold casting's sheet",
        )
        for k, one in enumerate(asked, start=1)
    ]


def _said(point: Sequence[float]) -> str:
    """A point in words, with true minus signs."""
    return ("[" + ", ".join(f"{c:g}" for c in point) + "]").replace("-", "\u2212")


def _shrinkage(casting: Casting) -> Fact:
    asked = casting.asked.shrinkage
    if asked is None:
        return Fact("shrinkage", "0 %: as cut is as cast; measure it on a trial pour", True)
    if asked.along == asked.across:
        size = f"{100.0 * asked.along:g} % linear"
    else:
        size = f"{100.0 * asked.along:g} % along, {100.0 * asked.across:g} % across the axis"
    return Fact("shrinkage", f"{size}; source: {asked.source or 'not said'}")
