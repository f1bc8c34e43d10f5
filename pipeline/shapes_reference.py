"""All built-in families as one page of the docs, with pictures and effects."""

from __future__ import annotations

from pipeline.bodies import family_keys, told
from pipeline.effects import CORE_G_CM3, INSERT_G_CM3, has_trial, trial
from pipeline.shape_words import (
    change_words,
    effect_words,
    first_sentence,
    parting_words,
    plain_ball,
    signed,
    trial_sentences,
)
from shapes.registry import FAMILIES
from shapes.shape import Shape


def shapes_reference() -> str:
    """All built-in families as Markdown, with their pictures."""
    sections = [_HEAD.format(ball=plain_ball(), core=CORE_G_CM3, insert=INSERT_G_CM3)]
    sections += [_section(word, family) for word, family in FAMILIES.items()]
    return "\n".join(sections)


def _section(word: str, family: type[Shape]) -> str:
    lines = [f"## {word}", ""]
    if has_trial(word):
        lines += [f"![{first_sentence(told(family))}](../renders/shapes/{word}.png)", ""]
    lines += [told(family), ""]
    lines += ["| parameter | what it is | without it |", "| --- | --- | --- |"]
    lines += [
        f"| `{k.name}` | {k.says} | {'it must be given' if k.required else k.default or 'none'} |"
        for k in family_keys(family)
    ]
    if not has_trial(word):
        return "\n".join([*lines, ""])
    found = trial(word)
    ball, figures = trial_sentences(found)
    lines += ["", f"As drawn it {parting_words(family.typical().parting())}. {ball} {figures}"]
    if found.effects:
        lines += [
            "",
            "| change | low RG | total differential | intermediate differential | in words |",
            "| --- | ---: | ---: | ---: | --- |",
        ]
        lines += [
            f"| {change_words(e)} | {signed(e.low_rg_in)} in | {signed(e.total_in)} in "
            f"| {signed(e.intermediate_in)} in | {effect_words(e)} |"
            for e in found.effects
        ]
    return "\n".join([*lines, ""])


_HEAD = """\
# Shapes

*This page is made from the code; see `pipeline/shapes_reference.py`.*

`corewright shapes` lists these families at the terminal, `corewright shapes NAME` shows one, and
`--picture FILE` draws it. What stands in a design file for each key is in the
[design file reference](design-file.md).

Each family is tried in a plain ball: {ball}. A core has {core} g/cm3, an insert {insert} g/cm3. The
tables tell what a change of one number does to that ball, all else kept, by weighing it again; in
another ball the figures differ, their signs seldom do.

Draft and parting are those of the typical body as drawn; a negative draft is an undercut. Shapes
that follow a vertical wall have none of their own: give them some before a mould is cut.
"""
