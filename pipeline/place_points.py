"""Where the core stands, and what that does to centre of gravity, pin and top weight."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pipeline.ball import Ball
from pipeline.called import the
from pipeline.same_core import core_of
from pipeline.told import (
    Fact,
    Said,
    Told,
    cg_bound_mm,
    change,
    changes_said,
    length,
    pin_bound_mm,
    pin_to_cg,
    top_weight,
)
from pipeline.trial_words import outcome, tried_fact
from pipeline.trials import core_at_centre, mass_of
from pipeline.weigh import MassProperties
from shapes.moments import Array

PLACE = "Where the core stands"
_MOSTLY = 0.9  # cosine from which a shift is along the pin axis


def place_points(ball: Ball, properties: MassProperties) -> Iterator[Fact]:
    """The ball's centre of gravity and the pin; the core's, and the core moved to the centre."""
    yield _ball(ball, properties)
    core = core_of(ball)
    if not core:
        return
    whole = mass_of(core)
    at = whole.centroid_mm()
    bound = properties.radius_mm * properties.bound.mass_g / whole.volume_mm3
    name = the(core[0].name) if len(core) == 1 else "the core"
    away = length("centre of gravity of the core to that of the ball", _size(at), bound)
    if not float(away.text):
        yield Fact(
            PLACE,
            f"The centre of gravity of {name} lies at the ball's centre, to the digits shown "
            f"({away.said}).",
            (away,),
            "first moments of the core about the ball's centre",
        )
        return
    yield from _moved(ball, properties, name, away, _side(at, properties.principal.low))


def _ball(ball: Ball, properties: MassProperties) -> Fact:
    """Where CG and pin are."""
    at = properties.centre_of_gravity_mm
    away = length("centre of gravity to the ball's centre", _size(at), cg_bound_mm(properties))
    top, along = top_weight(properties), pin_to_cg(properties)
    sentence = (
        f"The ball's centre of gravity lies {away.said} from its centre, which is a top weight of "
        f"{top.said}"
    )
    figures = [away, top]
    how = "first moment of mass about the ball's centre, over its mass and over its radius"
    if along is not None:
        sentence += f", and pin to CG is {along.said} along the surface"
        figures.append(along)
        how += "; pin to CG from where the low-RG axis leaves the ball"
    offset = _pin_offset(ball, properties)
    if offset is not None:
        sentence += (
            f"; the low-RG axis leaves the ball {offset.said} from the +Z point, where the pin "
            "stands as drawn"
        )
        figures.append(offset)
    return Fact(PLACE, f"{sentence}.", tuple(figures), how)


def _pin_offset(ball: Ball, properties: MassProperties) -> Told | None:
    """From the +Z point, where the pin stands as drawn, to the low-RG axis; None if it is there."""
    pole = np.array([0.0, 0.0, ball.radius_mm])
    along = properties.along_surface_mm(pole, properties.pin_mm())
    if along is None:
        return None
    told = length("low-RG axis to the +Z point", along, pin_bound_mm(properties), 2)
    return told if float(told.text) else None


def _moved(
    ball: Ball, properties: MassProperties, name: str, away: Told, side: str
) -> Iterator[Fact]:
    trial = core_at_centre(ball)
    if trial is None:
        yield Fact(
            PLACE,
            f"The centre of gravity of {name} lies {away.said} from the ball's centre{side}.",
            (away,),
            "first moments of the core about the ball's centre",
        )
        return
    tag = " with the core at the centre"
    after = trial.properties
    changes = [change("the top weight", top_weight(properties), top_weight(after, tag))]
    one, other = pin_to_cg(properties), pin_to_cg(after, tag)
    if one is not None and other is not None:
        changes.append(change("pin to CG", one, other))
    marks = changes_said(changes)
    gone = " and pin to CG is then undefined" if one is not None and other is None else ""
    done = outcome(ball, properties, trial, tag)
    yield tried_fact(
        PLACE,
        Said(
            f"With {name}, which lies {away.said} off the ball's centre{side}, moved to that "
            "centre",
            (away,),
        ),
        Said(f"{marks.words}{gone}; {done.words}", (*marks.figures, *done.figures)),
        "the core moved without a turn until its centre of gravity is the ball's centre",
        trial,
    )


def _side(at: Array, low: Array | None) -> str:
    """Which way the core is off, as far as there is a pin."""
    if low is None:
        return ""
    along = float(at @ low) / _size(at)
    if abs(along) < _MOSTLY:
        return ""
    return " towards the pin" if along > 0.0 else " away from the pin"


def _size(vector: Array) -> float:
    return float(np.linalg.norm(vector))
