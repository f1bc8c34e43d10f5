"""Balls whose dossiers are told, each worked out once in a run of the tests.

They are small, so that all of them together take a few seconds: spheres on the pin axis, a leaning
core, a grip, one raw hole, a casting, parts that cross.
"""

from __future__ import annotations

from copy import deepcopy
from functools import cache
from typing import Any

from pipeline.ball import build_ball
from pipeline.dossier.contents import Contents, contents
from pipeline.dossier.space import space_of
from pipeline.load import read_design
from tests.pipeline import drilled_text
from tests.pipeline.cast_text import HEAD, REST
from tests.pipeline.cut_balls import POKES
from tests.pipeline.sphere_balls import SPHERES
from tests.pipeline.uniform_text import UNIFORM

Data = dict[str, Any]

LEANING = """\
format: corewright 1
name: Dunlin
revision: A
date: 2026-11-25
units: in
ball: {diameter: 8.55}
materials: {clay: {density: 2.3}, shell: {density: 1.1}}
parts:
  - {name: inner core, material: clay, shape: ellipsoid, size: [3.2, 4.2, 4.9],
     tilt: {by: 12, toward: 200}, move: [0.1, -0.05, 0.2], note: It leans.}
  - {name: cover, material: shell, shape: sphere, diameter: 8.55}
notes:
  - The core leans.
"""
CAST = HEAD + "  - {name: core, material: clay, shape: sphere, diameter: 100}\n" + REST
GRIP = drilled_text.swapped(  # with an insert, and the high-RG mark, which an uneven core has
    drilled_text.BARE,
    ("middle: {", "middle: {insert: {bore: 31/32, depth: 1.25, density: 1.1}, "),
    ("pin: above", "pin: above, mark_to_axis_point: 4.5, mark: below"),
)
CROSSED = """\
format: corewright 1
name: Test
revision: A
units: in
ball: {diameter: 8.55}
materials: {a: {density: 2}, b: {density: 1}}
parts:
""" + "".join(f"  - {{{part}}}\n" for part in POKES) + (
    "  - {name: cover, material: b, shape: sphere, diameter: 8.55}\n"
)  # fmt: skip
TEXTS = {
    "uniform": UNIFORM,
    "spheres": SPHERES,
    "leaning": LEANING,
    "gripped": drilled_text.text(GRIP, drilled_text.UNEVEN),
    "bored": drilled_text.text(drilled_text.holes(drilled_text.HOLE)),
    "cast": CAST,
    "crossed": CROSSED,
}


@cache
def found(name: str) -> Contents:
    """All that is worked out of one of `TEXTS`; not to be changed."""
    return contents(build_ball(read_design(TEXTS[name])))


@cache
def space(name: str) -> Data:
    """What is shown of it in space; not to be changed."""
    return space_of(found(name))


def data(name: str) -> Data:
    """Its data with rows of pictures, to be changed at will."""
    told = deepcopy(found(name).data)
    places = ["space", "space"]
    places += ["drilled"] if "drilling" in told["figures"] else []
    places += ["tooling"] if "tooling" in told else []
    told["pictures"] = [
        {
            "key": f"view-{k}",
            "place": place,
            "caption": f"View {k}",
            "alt": f"The ball, view {k}.",
            "width_px": 12,
            "height_px": 8,
            "sha256": "0" * 64,
        }
        for k, place in enumerate(places)
    ]
    return told
