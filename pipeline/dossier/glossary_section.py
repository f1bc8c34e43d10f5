"""The words that the document uses, as the trade uses them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pipeline.dossier.document import Section, Terms

Data = Mapping[str, Any]
_ALWAYS = (
    ("RG", "radius of gyration: the root of the moment of inertia about an axis over the mass."),
    (
        "low, intermediate and high RG",
        "those about the three principal axes through the centre of gravity, by size.",
    ),
    ("total differential", "high less low RG."),
    ("intermediate differential", "high less intermediate RG; a core that is the same all round "
     "the pin has none."),
    ("principal axes", "the three lines through the centre of gravity, square to one another, "
     "about which the ball turns without wobbling."),
    ("pin", "where the low-RG axis leaves the ball on the +Z side."),
    ("PSA", "preferred spin axis: where the high-RG axis leaves the ball; marked on an "
     "asymmetrical ball, undefined on a symmetrical one."),
    ("CG mark", "where the ray from the ball's centre through its centre of gravity meets the "
     "surface."),
    ("static imbalance", "first moment of mass about the ball's centre over its radius; what a "
     "balance scale infers top weight from."),
    ("inner core, outer core, cover", "the weight block, what is poured round it, and the shell."),
    ("margin", "how far inside a limit a figure is; below zero it is outside."),
    ("not determined", "no rule is known for this ball, the figure is undefined, or it is nearer "
     "to the limit than it is sure of."),
    ("within", "the error bound: how far a figure may be off by the way it was worked out. It says "
     "nothing of how a ball comes out of the shop."),
)  # fmt: skip
_DRILLED = (
    ("grip centre", "the middle between the front edges of finger and thumb holes."),
    ("midline", "the great circle through grip centre and axis point."),
    ("axis point", "where the bowler's spin axis leaves the ball at release."),
    ("vertical axis line", "the great circle through the axis point, square to the midline."),
    ("top, side and finger weight", "the static imbalance of the drilled ball towards the grip "
     "centre, to the side, and towards the fingers."),
    ("flare step", "how far the spin axis of a freely turning ball moves in one turn."),
)  # fmt: skip
_CAST = (
    ("as cast", "the cold casting, with machining stock and rod holes."),
    ("as cut", "grown for shrinkage, as the mould is cut."),
    ("draft", "by how much a wall leans away from the way its mould piece is drawn."),
    ("undercut", "a wall that holds its mould piece."),
)


def glossary_section(data: Data) -> Section:
    """The words; those of drilling and casting only where the document has such a section."""
    pairs = [*_ALWAYS]
    pairs += _DRILLED if "drilling" in data["figures"] else ()
    pairs += _CAST if "tooling" in data else ()
    return Section("glossary", "Words", (Terms(tuple(sorted(pairs, key=_by_name))),))


def _by_name(pair: tuple[str, str]) -> str:
    return pair[0].lower()
