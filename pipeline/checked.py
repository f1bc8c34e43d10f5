"""One check of a casting or its mould: a figure held against a limit, with its place."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pipeline.check import Finding
from shapes.moments import Array

AS_CAST, AS_CUT = "as cast", "as cut"
PRACTICE = "common practice, no source"
ASKED = "the design's own process"
_EXACT = 1e-3  # nearer to its limit, a figure that is told to a tenth is on it

Place = tuple[float, float, float]


@dataclass(frozen=True)
class Checked:
    """One check.

    Attributes:
        casting: which, or 'ball'.
        finding: value, limit, margin, verdict.
        place_mm: where, in the part's own frame; None where no place is meant.
        size: whether the place is as cast (cold) or as cut.
    """

    casting: str
    finding: Finding
    place_mm: Place | None = None
    size: str = AS_CAST


def at_least(
    rule: str, value: float, least: float | None, unit: str, asked: bool, note: str = ""
) -> Finding:
    """A figure with a least limit, mm or as `unit` says; none is known where it is None."""
    return _limited(rule, value, least, unit, asked, note, 1.0)


def at_most(
    rule: str, value: float, most: float | None, unit: str, asked: bool, note: str = ""
) -> Finding:
    """A figure with a greatest limit; none is known where it is None."""
    return _limited(rule, value, most, unit, asked, note, -1.0)


def _limited(
    rule: str, value: float, limit: float | None, unit: str, asked: bool, note: str, way: float
) -> Finding:
    if limit is None:
        return Finding(
            rule, value, "none is known", None, unit, "not determined", PRACTICE, "C", note
        )
    margin = way * (value - limit)
    words = f"{'at least' if way > 0.0 else 'at most'} {limit:g} {unit}"
    source = ASKED if asked else PRACTICE
    found = held(rule, value, words, margin, unit, margin >= -_EXACT, source, note)
    return replace(found, least=limit) if way > 0.0 else replace(found, most=limit)


def held(
    rule: str,
    value: float,
    limit: str,
    margin: float,
    unit: str,
    good: bool,
    source: str,
    note: str = "",
) -> Finding:
    """A finding with its verdict."""
    return Finding(rule, value, limit, margin, unit, "pass" if good else "fail", source, "C", note)


def place_of(point: Array) -> Place:
    """A point as a place."""
    x, y, z = (float(c) for c in point)
    return x, y, z
