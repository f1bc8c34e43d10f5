"""The bodies that go into a tooling package, in groups: as cast, as cut, and each mould."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.ball import Ball
from pipeline.body_files import BodyGroup
from pipeline.castings import Casting
from pipeline.checked import AS_CAST, AS_CUT
from pipeline.kernel import kernel
from pipeline.moulds import Tool
from pipeline.naming import file_stem
from pipeline.solids import PartSolid
from pipeline.step import Body, bodies_of

CAST_WORDS = "cold castings with stock and rod holes; no shrinkage in them"
CUT_WORDS = "grown for shrinkage already; do not scale again"
STEEL, PLATES = "#7C8387", ("#B9A98C", "#D8CDB8", "#98876A", "#C9B99C", "#8C8069", "#E2D9C6")
POUR = "contents"  # of the cavity: the casting with its gates, and the parts inside it


@dataclass(frozen=True)
class Stems:
    """The file stems of a ball's castings: of the ball, and of each casting by its name."""

    ball: str
    castings: dict[str, str]


def stems_of(ball: Ball, castings: Sequence[Casting]) -> Stems:
    """File stems that no two castings share."""
    taken: list[str] = []
    found = {}
    for casting in castings:
        taken.append(file_stem(casting.name, taken))
        found[casting.name] = taken[-1]
    return Stems(file_stem(ball.design.name), found)


def finished_group(ball: Ball, parts: Sequence[PartSolid], stems: Stems) -> BodyGroup:
    """The ball as designed, for reference: every part where it stands."""
    bodies = [replace(body, layer="finished") for body in bodies_of(parts)]
    return BodyGroup(
        f"finished/{stems.ball}", ball.design.name,
        "the finished ball as designed, for reference; in the ball's frame",
        tuple(bodies), ("step",),
    )  # fmt: skip


def cast_group(ball: Ball, castings: Sequence[Casting], stems: Stems) -> BodyGroup:
    """All castings, cold, where they stand in the ball."""
    with kernel():
        from shapes.solid import placed

        bodies = tuple(
            Body(
                f"{one.name}, {AS_CAST}", one.part.colour.upper(),
                placed(one.as_cast, one.part.body.placement), AS_CAST,
            )
            for one in castings
        )  # fmt: skip
    return BodyGroup(
        f"as-cast/{stems.ball}-as-cast", f"{ball.design.name}, {AS_CAST}",
        f"{CAST_WORDS}, in the ball's frame", bodies,
    )  # fmt: skip


def cut_group(tool: Tool, stems: Stems) -> BodyGroup:
    """What a mould's cavity is cut to, in the part's own frame."""
    casting = tool.casting
    name = f"{casting.name}, {AS_CUT}"
    body = Body(name, casting.part.colour.upper(), tool.cavity, AS_CUT)
    return BodyGroup(
        f"as-cut/{stems.castings[casting.name]}-as-cut", f"{name} (one casting)",
        f"{casting.name} as its cavity is cut: {CUT_WORDS}; in the part's own frame", (body,),
        ("step", "3mf", "stl"),
    )  # fmt: skip


def mould_group(tool: Tool, stems: Stems) -> BodyGroup:
    """The pieces of a mould with its rod and pins, and what is poured."""
    casting, mould = tool.casting, tool.mould
    pieces = [
        Body(f"{casting.name} mould, {name}", PLATES[k], solid, "mould")
        for k, (name, solid) in enumerate(zip(tool.piece_names, mould.pieces, strict=True))
    ]
    bars = [
        Body(f"{casting.name} mould, {name}", STEEL, solid, "rods and pins")
        for name, solid in zip(tool.bar_names, mould.bars, strict=True)
    ]
    poured = Body(f"{casting.name} mould, {POUR}", casting.part.colour.upper(), mould.pour, POUR)
    return BodyGroup(
        f"moulds/{stems.castings[casting.name]}-mould", f"{casting.name} mould",
        f"mould of {casting.name}, {CUT_WORDS}; in the part's own frame",
        (*pieces, *bars, poured), exact_only=frozenset({poured.name}),
    )  # fmt: skip
