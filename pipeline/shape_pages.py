"""Shape families as text: the list, the page of one, and the page of all for the docs."""

from __future__ import annotations

from typing import Any

from pipeline.bodies import family_keys, told
from pipeline.digits import MINUS, decimals
from pipeline.effects import (
    BALL_IN,
    CORE_G_CM3,
    COVER_G_CM3,
    INSERT_G_CM3,
    OUTER_CORE_IN,
    WEIGHT_LB,
    Effect,
    Trial,
    has_trial,
    trial,
)
from pipeline.errors import CorewrightError, OutputError
from pipeline.fields import closest
from pipeline.units import MM_PER_IN
from shapes.errors import ShapeError
from shapes.parting import Parting
from shapes.plugins import added, family_of, words
from shapes.registry import FAMILIES
from shapes.shape import Shape

_MOST = 4  # decimals of an inch: an RG is told to 1e-4 in at best in the trade
HARDLY_IN = 0.5 * 10.0**-_MOST
_ONE_WAY = " (one way)"
_BOUND_IN = 1e-6  # of a change, from weighing twice within 1e-8 in and the curve of the slope


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
        lines.append(f"  {word:<{width}}{_first(told(family))}")
        names = ", ".join(key.name for key in family_keys(family))
        source = "" if word in FAMILIES else f"  (from {faults[word].package})"
        lines.append(f"  {'':<{width}}{names}{source}")
    for one in added():
        if one.fault:
            lines.append(f"! {one.word:<{width}}from {one.package}: {one.fault}")
    return "\n".join([*lines, "", "corewright shapes NAME tells what each parameter does"])


def _first(text: str) -> str:
    return text.split(". ")[0].rstrip(".")


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
    lines += ["", f"as drawn it {_parting_words(family.typical().parting())}", ""]
    found = trial(word)
    lines += [f"{sentence}" for sentence in _trial_sentences(found)]
    if found.effects:
        lines += ["", *_effect_rows(found.effects)]
    lines += [f"  {name}: no number to move" for name in found.still]
    return "\n".join(line.rstrip() for line in lines)


def _effect_rows(effects: tuple[Effect, ...]) -> list[str]:
    width = max(len(_change(e)) for e in effects) + 2
    rows = [f"  {'change':<{width}}{'low RG':>10}{'total':>10}{'intermediate':>14}  in"]
    rows += [
        f"  {_change(e):<{width}}{_signed(e.low_rg_in):>10}{_signed(e.total_in):>10}"
        f"{_signed(e.intermediate_in):>14}  {effect_words(e)}"
        for e in effects
    ]
    if any(e.one_way for e in effects):
        rows.append(f"  {_ONE_WAY.strip()}: the typical body stands at the end of what is allowed")
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


def _trial_sentences(found: Trial) -> tuple[str, str]:
    principal = found.properties.principal
    low, total, intermediate = (
        decimals(mm / MM_PER_IN, _BOUND_IN, 3)
        for mm in (
            float(principal.rg_mm[0]),
            principal.total_differential_mm,
            principal.intermediate_differential_mm,
        )
    )
    where = {
        "inner core": f"as the inner core ({CORE_G_CM3} g/cm3) of a plain ball",
        "insert": f"as an insert ({INSERT_G_CM3} g/cm3) at the middle of a plain barrel core",
        "outer core": "as the outer core round a plain cylinder core",
    }[found.place]
    return (
        f"Its typical body {where}, {BALL_IN} in, {WEIGHT_LB:g} lb:",
        f"low RG {low} in, total differential {total} in, intermediate differential "
        f"{intermediate} in.",
    )


def plain_ball() -> str:
    """The ball that bodies are tried in, in a sentence."""
    return (
        f"an outer core of {OUTER_CORE_IN} in whose density is solved for {WEIGHT_LB:g} lb, and a "
        f"cover of {BALL_IN} in and {COVER_G_CM3} g/cm3"
    )


def _change(effect: Effect) -> str:
    one_way = _ONE_WAY if effect.one_way else ""
    return f"{effect.parameter} {effect.step} more{one_way}"


def _signed(value: float) -> str:
    text = decimals(value, _BOUND_IN, _MOST)
    return text if text.startswith(MINUS) or not float(text) else f"+{text}"


def effect_words(effect: Effect) -> str:
    """What a change does, in words."""
    raised, lowered = [], []
    for name, value in (
        ("RG", effect.low_rg_in),
        ("total differential", effect.total_in),
        ("intermediate differential", effect.intermediate_in),
    ):
        if value >= HARDLY_IN:
            raised.append(name)
        elif value <= -HARDLY_IN:
            lowered.append(name)
    said = [
        f"{verb} {' and '.join(names)}"
        for verb, names in (("raises", raised), ("lowers", lowered))
        if names
    ]
    return "; ".join(said) or "hardly moves any"


def _parting_words(parting: Parting | None) -> str:
    if parting is None:
        return "has no parting plane of its own"
    axis = {(0.0, 0.0, 1.0): "Z", (0.0, 1.0, 0.0): "Y", (1.0, 0.0, 0.0): "X"}.get(parting.normal)
    where = f"square to {axis}" if axis else f"with the normal {parting.normal}"
    height = decimals(parting.height_mm / MM_PER_IN, 1e-4, 2)
    through = "through its origin" if not float(height.replace(MINUS, "-")) else f"at {height} in"
    draft = decimals(parting.draft_deg, 0.04, 1)
    if parting.draft_deg < 0.0:
        return f"parts {where} {through} with an undercut: least draft {draft} degrees"
    return f"parts {where} {through}; least draft {draft} degrees"


def shapes_reference() -> str:
    """All built-in families as Markdown, with their pictures."""
    sections = [_HEAD.format(ball=plain_ball(), core=CORE_G_CM3, insert=INSERT_G_CM3)]
    sections += [_section(word, family) for word, family in FAMILIES.items()]
    return "\n".join(sections)


def _section(word: str, family: type[Shape]) -> str:
    lines = [f"## {word}", ""]
    if has_trial(word):
        lines += [f"![{_first(told(family))}](../renders/shapes/{word}.png)", ""]
    lines += [told(family), ""]
    lines += ["| parameter | what it is | without it |", "| --- | --- | --- |"]
    lines += [
        f"| `{k.name}` | {k.says} | {'it must be given' if k.required else k.default or 'none'} |"
        for k in family_keys(family)
    ]
    if not has_trial(word):
        return "\n".join([*lines, ""])
    found = trial(word)
    ball, figures = _trial_sentences(found)
    lines += ["", f"As drawn it {_parting_words(family.typical().parting())}. {ball} {figures}"]
    if found.effects:
        lines += [
            "",
            "| change | low RG | total differential | intermediate differential | in words |",
            "| --- | ---: | ---: | ---: | --- |",
        ]
        lines += [
            f"| {_change(e)} | {_signed(e.low_rg_in)} in | {_signed(e.total_in)} in "
            f"| {_signed(e.intermediate_in)} in | {effect_words(e)} |"
            for e in found.effects
        ]
    return "\n".join([*lines, ""])


_HEAD = """\
# Shapes

*This page is made from the code; see `pipeline/shape_pages.py`.*

`corewright shapes` lists these families at the terminal, `corewright shapes NAME` shows one, and
`--picture FILE` draws it. What stands in a design file for each key is in the
[design file reference](design-file.md).

Each family is tried in a plain ball: {ball}. A core has {core} g/cm3, an insert {insert} g/cm3. The
tables tell what a change of one number does to that ball, all else kept, by weighing it again; in
another ball the figures differ, their signs seldom do.

Draft and parting are those of the typical body as drawn; a negative draft is an undercut. Shapes
that follow a vertical wall have none of their own: give them some before a mould is cut.
"""
