"""Shape families at the terminal and for machines: the list, and the page of one."""

from __future__ import annotations

from typing import Any

from pipeline.bodies import family_keys, told
from pipeline.effects import Effect, has_trial, trial
from pipeline.errors import CorewrightError, OutputError
from pipeline.fields import closest
from pipeline.shape_words import (
    ONE_WAY,
    change_words,
    effect_words,
    first_sentence,
    parting_words,
    signed,
    trial_sentences,
)
from pipeline.units import MM_PER_IN
from shapes.errors import ShapeError
from shapes.plugins import added, family_of, words
from shapes.registry import FAMILIES


class UnknownShape(CorewrightError):
    """There is no such shape, or the package that adds it cannot be used."""


def word_of(name: str) -> str:
    """The word of a family that can be used.

    Raises:
        UnknownShape: with the nearest word, or what is wrong with the package.
    """
    if name not in words():
        near = closest(name, words())
        advice = f"did you mean '{near}'?" if near else "corewright shapes lists them"
        raise UnknownShape(f"there is no shape '{name}'; {advice}")
    try:
        family_of(name)
    except ShapeError as error:
        raise UnknownShape(error.reason) from error
    return name


def drawn(word: str) -> bytes:
    """The typical body of a family as a PNG.

    Raises:
        OutputError: it has none, or it cannot be drawn.
    """
    if not has_trial(word):
        raise OutputError(f"'{word}' comes from a file and has no typical body to draw")
    from pipeline.portrait import portrait

    return portrait(family_of(word).typical(), (960, 960))


def listing() -> str:
    """Every family in a line, with its parameters."""
    faults = {one.word: one for one in added()}
    sound = [w for w in words() if w in FAMILIES or not faults[w].fault]
    width = max(len(word) for word in sound) + 2
    lines = []
    for word in sound:
        family = family_of(word)
        lines.append(f"  {word:<{width}}{first_sentence(told(family))}")
        names = ", ".join(key.name for key in family_keys(family))
        source = "" if word in FAMILIES else f"  (from {faults[word].package})"
        lines.append(f"  {'':<{width}}{names}{source}")
    for one in added():
        if one.fault:
            lines.append(f"! {one.word:<{width}}from {one.package}: {one.fault}")
    return "\n".join([*lines, "", "corewright shapes NAME tells what each parameter does"])


def page(word: str) -> str:
    """One family: parameters, parting, figures of its typical body, and what each number does."""
    family = family_of(word)
    lines = [f"{word}: {told(family)}", "", "parameters"]
    for key in family_keys(family):
        lines.append(f"  {key.name:<20}{key.says}")
        needed = "must be given" if key.required else f"{key.default} unless given"
        lines.append(f"  {'':<20}{key.kind.allowed}; {needed}" if key.required or key.default
                     else f"  {'':<20}{key.kind.allowed}")  # fmt: skip
    if not has_trial(word):
        return "\n".join([*lines, "", "its figures depend on the file"])
    lines += ["", f"as drawn it {parting_words(family.typical().parting())}", ""]
    found = trial(word)
    lines += [f"{sentence}" for sentence in trial_sentences(found)]
    if found.effects:
        lines += ["", *_effect_rows(found.effects)]
    lines += [f"  {name}: no number to move" for name in found.still]
    return "\n".join(line.rstrip() for line in lines)


def _effect_rows(effects: tuple[Effect, ...]) -> list[str]:
    width = max(len(change_words(e)) for e in effects) + 2
    rows = [f"  {'change':<{width}}{'low RG':>10}{'total':>10}{'intermediate':>14}  in"]
    rows += [
        f"  {change_words(e):<{width}}{signed(e.low_rg_in):>10}{signed(e.total_in):>10}"
        f"{signed(e.intermediate_in):>14}  {effect_words(e)}"
        for e in effects
    ]
    if any(e.one_way for e in effects):
        rows.append(f"  {ONE_WAY.strip()}: the typical body stands at the end of what is allowed")
    return rows


def page_as_figures(word: str) -> dict[str, Any]:
    """The same for machines."""
    family = family_of(word)
    found: dict[str, Any] = {
        "shape": word,
        "says": told(family),
        "parameters": [
            {
                "name": key.name,
                "says": key.says,
                "allowed": key.kind.allowed,
                "required": key.required,
                "default": key.default or None,
            }
            for key in family_keys(family)
        ],
    }
    if not has_trial(word):
        return found
    parting = family.typical().parting()
    found["parting"] = None if parting is None else {
        "normal": list(parting.normal),
        "height_in": round(parting.height_mm / MM_PER_IN, 6) + 0.0,
        "draft_deg": parting.draft_deg,
    }  # fmt: skip
    tried = trial(word)
    principal = tried.properties.principal
    found["stands_as"] = tried.place
    found["route"] = tried.ball.route
    found["low_rg_in"] = round(float(principal.rg_mm[0]) / MM_PER_IN, 6)
    found["total_differential_in"] = round(principal.total_differential_mm / MM_PER_IN, 6)
    found["intermediate_differential_in"] = round(
        principal.intermediate_differential_mm / MM_PER_IN, 6
    )
    found["effects"] = [
        {
            "parameter": e.parameter,
            "change": e.step,
            "low_rg_in": round(e.low_rg_in, 5) + 0.0,
            "total_differential_in": round(e.total_in, 5) + 0.0,
            "intermediate_differential_in": round(e.intermediate_in, 5) + 0.0,
            "one_way": e.one_way,
        }
        for e in tried.effects
    ]
    return found


def listing_as_figures() -> dict[str, Any]:
    """The list for machines."""
    faults = {one.word: one for one in added()}
    return {
        "shapes": [
            {
                "shape": word,
                "says": told(family_of(word)),
                "parameters": [key.name for key in family_keys(family_of(word))],
                "from": None if word in FAMILIES else faults[word].package,
            }
            for word in words()
            if word in FAMILIES or not faults[word].fault
        ],
        "unusable": [
            {"shape": one.word, "from": one.package, "why": one.fault}
            for one in added()
            if one.fault
        ],
    }
