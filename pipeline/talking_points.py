"""The design's story in plain sentences, each made from computed figures or the designer's notes.

A sentence stands here only where it applies to the design and is true by computation; its figures
stand in it as numbers with their bounds, and how it was found is said beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pipeline.ball import Ball
from pipeline.ball_points import ball_points, part_points
from pipeline.called import ball_named, the
from pipeline.check import ESTIMATE
from pipeline.earlier_points import earlier_points
from pipeline.effect_points import effect_points
from pipeline.markdown import escaped, visible
from pipeline.neck_points import neck_points
from pipeline.place_points import place_points
from pipeline.shape_points import shape_points
from pipeline.told import Fact, Told
from pipeline.weigh import MassProperties

NOTES = "In the designer's words"


@dataclass(frozen=True)
class TalkingPoints:
    """What can be said of a design.

    Attributes:
        heading: the ball and its revision.
        facts: in the order of the page, those of one section together.
        sha256: of the design file that they were computed from; empty when it came from no file.
        drilled: whether the design drills holes, of which nothing here knows.
        earlier, earlier_sha256: the same of the ball that it was held against; empty without one.
    """

    heading: str
    facts: tuple[Fact, ...]
    sha256: str
    drilled: bool
    earlier: str = ""
    earlier_sha256: str = ""


def points_of(ball: Ball, properties: MassProperties, earlier: Ball | None = None) -> TalkingPoints:
    """All facts of a ball.

    Args:
        ball: as it is before any hole is drilled, from `build_ball`.
        properties: what it weighs, from `weigh`.
        earlier: a ball to hold it against, undrilled as well.

    Raises:
        ValueError: a drilled ball was given.

    >>> from pipeline import ball, load, weigh
    >>> from pipeline.shipped import shipped
    >>> dunlin = ball.build_ball(load.load(shipped("dunlin")))
    >>> points_of(dunlin, weigh.weigh(dunlin)).facts[1].sentence
    "Its low RG is 2.545 in, medium in the trade's words (common practice, no source)."
    """
    for one in (ball, earlier):
        if one is not None and one.bores:
            raise ValueError(f"{one.design.name} is drilled; its story is that of the ball before")
    facts = [
        *ball_points(ball, properties),
        *_notes(ball),
        *part_points(ball, properties),
        *effect_points(ball, properties),
        *neck_points(ball, properties),
        *shape_points(ball, properties),
        *place_points(ball, properties),
        *(earlier_points(ball, properties, earlier) if earlier is not None else ()),
    ]
    drilled = ball.design.drilling is not None
    found = TalkingPoints(ball_named(ball), tuple(facts), _sha256(ball), drilled)
    if earlier is None:
        return found
    return replace(found, earlier=ball_named(earlier), earlier_sha256=_sha256(earlier))


def _sha256(ball: Ball) -> str:
    """Of the ball's own file, where another one drills it."""
    return (ball.design.undrilled or ball.design).sha256


def _notes(ball: Ball) -> Iterator[Fact]:
    """The designer's own words, as they stand in the file."""
    how = "quoted from the design, not computed"
    for note in ball.design.notes:
        yield Fact(NOTES, note, (), how, quoted=True)
    for part in ball.design.parts:
        if part.note:
            yield Fact(NOTES, part.note, (), f"of {the(part.name)}, {how}", quoted=True)


def as_markdown(points: TalkingPoints) -> str:
    """The page: sentences by section, each with how it was found, and a table of all figures."""
    undrilled = ["", "The design drills holes; all of this is the ball before that."]
    lines = [f"# {escaped(points.heading)}: talking points", "", *_HEAD]
    lines += undrilled if points.drilled else []
    before: Fact | None = None
    for fact in points.facts:
        if before is None or fact.about != before.about:
            lines += ["", f"## {fact.about}", ""]
        elif fact.quoted:
            lines.append("")  # or two quotations would be one
        lines += _lines(fact)
        before = fact
    lines += ["", "## Where the figures are from", "", *_table(points), ""]
    return "\n".join(lines)


_HEAD = (
    "Every sentence below was made from figures that Corewright computed from the design, or is",
    "quoted from the designer and marked as such; below each stands how it was found. Every figure",
    f"is a {ESTIMATE}.",
)


def _lines(fact: Fact) -> list[str]:
    """A sentence, or the designer's in a quotation, with how it was found."""
    if fact.quoted:
        return [f"> {escaped(visible(fact.sentence))}", ">", f"> ({escaped(fact.how)})"]
    return [f"- {escaped(fact.sentence)}", f"  - How: {escaped(fact.how)}."]


def _table(points: TalkingPoints) -> Iterator[str]:
    """Every figure once, with its bound and source, and what the sources are."""
    yield "| figure | value | within | source |"
    yield "| --- | --- | --- | --- |"
    rows = dict.fromkeys(_row(told) for fact in points.facts for told in fact.figures)
    yield from rows
    quoted = any(fact.quoted for fact in points.facts)
    if quoted:
        yield "| what is quoted | in words | not computed | designer's note |"
    yield ""
    yield f"- *computed*: by Corewright from this design{_file(points.sha256)}."
    yield "- *given*: as it stands in this design."
    yield "- *common practice*: no source, and no rule says so."
    if points.earlier:
        where = f"{escaped(points.earlier)}{_file(points.earlier_sha256)}"
        yield f"- *earlier design*: computed by Corewright from, or given in, that of {where}."
    if quoted:
        yield "- *designer's note*: quoted from this design, and held against nothing."


def _row(told: Told) -> str:
    within = f"{told.within} {told.unit}".rstrip() if told.within else "as given"
    cells = (told.name, told.said, within, told.source)
    return f"| {' | '.join(escaped(cell) for cell in cells)} |"


def _file(sha256: str) -> str:
    return f", sha256 {sha256}" if sha256 else ", which came from no file"
