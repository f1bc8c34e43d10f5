"""What sentences call a ball, a part or a material: plain words as they are, any other name quoted.

A name of a few words reads as the designer says it.  One with digits, signs or many words could be
taken for something that was computed, so it stands in quotes.
"""

from __future__ import annotations

import re
import unicodedata

from pipeline.ball import Ball
from pipeline.markdown import visible

_PLAIN = re.compile(r"[^\W\d_]+(?:[ -][^\W\d_]+){0,2}")
_LONGEST = 40


def called(name: str) -> str:
    """A name in a sentence.

    >>> called("lower disc"), called("5 lb | slug")
    ('lower disc', '“5 lb | slug”')
    """
    left_to_right = all(unicodedata.bidirectional(c) not in ("R", "AL") for c in name)
    if len(name) <= _LONGEST and left_to_right and _PLAIN.fullmatch(name):
        return name
    return f"“{visible(name)}”"


def the(part: str) -> str:
    """A part by its name, with an article."""
    return f"the {_part(part)}"


def its(part: str) -> str:
    """A part by its name, as one of the ball's."""
    return f"its {_part(part)}"


def ball_named(ball: Ball) -> str:
    """A ball by name and revision, as its own file has them where another one drills it."""
    design = ball.design.undrilled or ball.design
    return f"{called(design.name)} revision {called(design.revision)}"


def starting(sentence: str) -> str:
    """A sentence with a capital letter at its start.

    >>> starting("the lower disc weighs nothing.")
    'The lower disc weighs nothing.'
    """
    return sentence[:1].upper() + sentence[1:]


def _part(name: str) -> str:
    shown = called(name)
    return shown if shown == name else f"part {shown}"
