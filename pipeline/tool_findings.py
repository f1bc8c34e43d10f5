"""The checks of a tooling package as rows for machines and for its letter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from pipeline.checked import Checked

_BY_UNIT = {"mm": 1, "mm2": 0, "mm3": 0, "%": 2}  # decimals worth telling
_IN_WORDS = ("least", "most")  # what the limit says in words already
PLACES = "places"  # the picture that shows where every check looks
_BY_RULE = {"largest ball inside": 0, "gates": 0}  # its middle is found on a mesh


def findings_of(checks: Sequence[Checked], pictures: Mapping[str, str]) -> list[dict[str, Any]]:
    """One row a check.

    Args:
        checks: to tell.
        pictures: file names by casting and rule, as `picture_key` makes them.
    """
    found = []
    for one in checks:
        row = {name: v for name, v in asdict(one.finding).items() if name not in _IN_WORDS}
        places = decimals(one.finding.rule, one.finding.unit)
        for key in ("value", "margin"):
            row[key] = None if row[key] is None else round(row[key], places) + 0.0
        place = None if one.place_mm is None else [round(c, 1) + 0.0 for c in one.place_mm]
        keys = (one.finding.rule, PLACES) if place else (one.finding.rule,)
        found_in = (pictures.get(picture_key(one.casting, key)) for key in keys)
        picture = next((name for name in found_in if name), None)
        found.append(
            {"casting": one.casting, **row, "place_mm": place, "size": one.size, "picture": picture}
        )
    return found


def decimals(rule: str, unit: str) -> int:
    """To how many decimals a figure is worth telling."""
    return _BY_RULE.get(rule, _BY_UNIT.get(unit, 3))


def picture_key(casting: str, rule: str) -> str:
    """What a picture of a check is known by; a wall's draft varies in its rule's words."""
    subject = "draft" if "draft" in rule or rule == "undercut" else rule
    return f"{casting}: {subject}"
