"""Every value that a casting is made by, in words, and whether it was only assumed."""

from __future__ import annotations

from collections.abc import Sequence
from math import degrees

import numpy as np

from pipeline.ball import Ball
from pipeline.castings import Casting
from pipeline.facts import Fact
from pipeline.moulds import KEYS, Tool
from pipeline.process import CastingAsked
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
    "round": "poured round the parts inside, which the rod holds",
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
    if asked.taper_deg:
        lines.append(f"taper {asked.taper_deg:g}\u00b0 a side")
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
            Fact(f"parting plane {k + 1}", plane_words(split), asked.splits is None)
            for k, split in enumerate(tool.splits)
        ),
        Fact("block", f"{sizes} mm", asked.block_mm is None),
        Fact(
            "keys", f"cones \u00d8 {keys.diameter_mm:g} \u00d7 {keys.height_mm:g} mm, one smaller",
            asked.keys is None,
        ),
        _channels("gates", asked.gates),
        _channels("vents", asked.vents),
        Fact("ejector flats", f"{len(asked.ejectors) or 'none'}", not asked.ejectors),
        Fact("flash allowed", f"{asked.deflash_mm or 0.0:g} mm", asked.deflash_mm is None),
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


def plane_words(split: Split) -> str:
    """A parting plane by its pull and height, in the part's own frame, as cut."""
    pull = way_words(split.normal)
    return f"drawn {pull}, {split.height_mm + 0.0:.2f} mm from the part's origin"


def way_words(way: Sequence[float] | Array) -> str:
    """A direction in words: an axis where it is one, else its components."""
    for k, axis in enumerate("XYZ"):
        if abs(abs(way[k]) - 1.0) < 1e-12:
            return ("+" if way[k] > 0.0 else "\u2212") + axis
    said = ", ".join(f"{c + 0.0:.4f}" for c in way)
    lean = degrees(np.arccos(min(1.0, abs(way[2]))))
    return f"({said}), {lean:.1f}\u00b0 from Z"


def _channels(label: str, asked: Sequence[object]) -> Fact:
    if not asked:
        return Fact(label, "none", True)
    sizes = ", ".join(f"\u00d8 {one.diameter_mm:g}" for one in asked)  # type: ignore[attr-defined]
    return Fact(label, f"{len(asked)}: {sizes} mm")


def _shrinkage(casting: Casting) -> Fact:
    asked = casting.asked.shrinkage
    if asked is None:
        return Fact("shrinkage", "0 %: as cut is as cast; measure it on a trial pour", True)
    if asked.along == asked.across:
        size = f"{100.0 * asked.along:g} % linear"
    else:
        size = f"{100.0 * asked.along:g} % along, {100.0 * asked.across:g} % across the axis"
    return Fact("shrinkage", f"{size}; source: {asked.source or 'not said'}")
