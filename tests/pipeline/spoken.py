"""Facts of balls, for the tests of what is said of them."""

from __future__ import annotations

from functools import cache

from pipeline.ball import build_ball
from pipeline.load import load, read_design
from pipeline.shipped import NAMES, shipped
from pipeline.talking_points import TalkingPoints, points_of
from pipeline.told import Fact, Told
from pipeline.weigh import weigh

SHIPPED = {name: shipped(name).read_text(encoding="utf-8") for name in NAMES}


@cache
def points(source: str, earlier: str = "") -> TalkingPoints:
    """What is said of a design, and of what became of an earlier one."""
    ball = build_ball(read_design(source))
    return points_of(ball, weigh(ball), build_ball(read_design(earlier)) if earlier else None)


@cache
def points_of_file(name: str) -> TalkingPoints:
    """What is said of a shipped design."""
    ball = build_ball(load(shipped(name)))
    return points_of(ball, weigh(ball))


def fact(found: TalkingPoints, words: str) -> Fact:
    """The one fact whose sentence holds the words."""
    (one,) = [f for f in found.facts if words in f.sentence]
    return one


def value(one: Fact, name: str) -> float:
    """The value of the one figure of a fact with that name."""
    (told,) = {t for t in one.figures if t.name == name}
    return told.value


def figure(one: Fact, start: str) -> Told:
    """The one figure of a fact whose name starts so."""
    (told,) = {t for t in one.figures if t.name.startswith(start)}
    return told


def all_said(found: TalkingPoints) -> str:
    """Every sentence, a line each."""
    return "\n".join(f.sentence for f in found.facts)
