"""What the bodies between the necks of a core do: each cut down to its neck and weighed again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import copysign, sqrt

import numpy as np

from pipeline.ball import Ball, Part
from pipeline.called import the
from pipeline.same_core import core_of
from pipeline.shape_points import SHAPE
from pipeline.told import EXTENT_MM, Fact, Said, Told, length, mass
from pipeline.trial_words import outcome, tried_fact
from pipeline.trials import Trial, with_shape
from pipeline.units import G_PER_MM3
from pipeline.weigh import MassProperties
from shapes.moments import Moments
from shapes.necks import Bulge, Neck, bulges_of, cut_down
from shapes.outlined import Outlined

_UPRIGHT = 0.9  # cosine of the lean up to which a part's ends are its foot and its head
_TALLER = 1.0 + 1e-6  # heights nearer than this share are one
_NOTHING = 1e-9  # of a part's space


@dataclass(frozen=True)
class Named:
    """A body between necks: what it is called, where it is, and whether it is foot or head."""

    name: str
    place: Said
    end: bool


def neck_points(ball: Ball, properties: MassProperties) -> Iterator[Fact]:
    """Foot, head and what is between them, for every turned part of the core that has a neck."""
    for part in core_of(ball):
        section, up = part.body.shape.section(), float(part.body.axis()[2])
        if section is None or abs(up) < _UPRIGHT:
            continue
        bulges = bulges_of(section)
        for k in range(len(bulges)) if up > 0.0 else reversed(range(len(bulges))):
            curves = cut_down(section, bulges[k])
            if curves is None:
                continue
            trial = with_shape(ball, part.name, lambda curves=curves: Outlined(curves))  # type: ignore[misc]
            if trial is None or _off(part, trial).volume_mm3 <= _NOTHING * part.claimed.volume_mm3:
                continue  # nothing of the part is there: an insert has all of that space
            named = _named(part, bulges, k)
            yield _cut(ball, properties, trial, part, bulges[k], named)
            if named.end:
                yield _where(properties, trial, part, named.name)


def _named(part: Part, bulges: tuple[Bulge, ...], k: int) -> Named:
    """Foot and head are the ends as the part stands; of two bodies the lesser is one of them."""
    ends = [bulges[k].low, bulges[k].high]
    if part.body.axis()[2] < 0.0:
        ends.reverse()
    low, high = _height(part, ends[0], "below"), _height(part, ends[1], "above")
    if low is not None and high is not None:
        words = f"between the necks at heights {low.text} and {high.said}"
        return Named("barrel", Said(words, (low, high)), end=False)
    side, at = ("below", high) if low is None else ("above", low)
    assert at is not None
    place = Said(f"{side} the neck at height {at.said}", (at,))
    if len(bulges) == 2 and _tall(bulges[k]) > _tall(bulges[1 - k]) * _TALLER:
        return Named("body", place, end=False)
    return Named("foot" if low is None else "head", place, end=True)


def _tall(bulge: Bulge) -> float:
    return bulge.to_mm - bulge.from_mm


def _height(part: Part, neck: Neck | None, side: str) -> Told | None:
    """Of a neck over the ball's centre, along the part's axis and upwards."""
    if neck is None:
        return None
    axis = part.body.axis()
    along = float(part.body.placement.offset() @ axis) + neck.z_mm
    name = f"height of the neck {side}, {the(part.name)}"
    return length(name, copysign(1.0, axis[2]) * along, EXTENT_MM)


def _cut(
    ball: Ball,
    properties: MassProperties,
    trial: Trial,
    part: Part,
    bulge: Bulge,
    named: Named,
) -> Fact:
    whose = f"{named.name} of {the(part.name)}"
    wide = length(f"greatest radius of the {whose}", bulge.widest_mm, EXTENT_MM)
    narrow = length(f"radius of the neck of the {whose}", bulge.radius_mm, EXTENT_MM)
    opening = Said(
        f"With the {whose}, {named.place.words}, cut down from a radius of {wide.text} to its "
        f"neck's {narrow.said}",
        (*named.place.figures, wide, narrow),
    )
    return tried_fact(
        SHAPE,
        opening,
        outcome(ball, properties, trial, f" with the {whose} cut down"),
        "what lies outside the neck's radius taken off, with sharp edges; heights are along the "
        "part's axis from the ball's centre",
        trial,
    )


def _where(properties: MassProperties, trial: Trial, part: Part, name: str) -> Fact:
    """How far from the ball's centre that is which was cut off an end, and the rest of the part."""
    off = _off(part, trial)
    left = part.claimed - off
    bound = 10.0 * EXTENT_MM  # roots of moments, which are surer than this
    away, rest = (
        length(f"root mean square distance from the ball's centre, {which}", mm, bound)
        for which, mm in (
            (f"{name} of {the(part.name)} outside its neck", _away_mm(off)),
            (f"{the(part.name)} but for its {name} outside its neck", _away_mm(left)),
        )
    )
    grams = off.volume_mm3 * part.density_g_cm3 * G_PER_MM3
    whose = f"mass of the {name} of {the(part.name)} outside its neck"
    heavy = mass(whose, grams, 2.0 * properties.bound.mass_g)
    way = "away from" if away.value > rest.value else "towards"
    denser = part.density_g_cm3 > min(p.density_g_cm3 for p in trial.ball.parts)
    moves = f" moves mass {way} the ball's centre: it" if away.text != rest.text and denser else ""
    return Fact(
        SHAPE,
        f"The {name} of {the(part.name)}{moves} holds {heavy.said} outside its neck's radius, "
        f"{away.said} from that centre, and the rest of {the(part.name)} lies {rest.said} from it "
        "(root mean squares).",
        (heavy, away, rest),
        f"second moments about the ball's centre, of {the(part.name)} as it is and as cut down",
    )


def _off(part: Part, trial: Trial) -> Moments:
    """What a part lost when it was cut down."""
    return part.claimed - next(p for p in trial.ball.parts if p.name == part.name).claimed


def _away_mm(moments: Moments) -> float:
    return sqrt(float(np.trace(moments.second_mm5)) / moments.volume_mm3)
