"""The looks a picture can have, by name: paper, inks, lights, and whether it is lit or drawn.

shore   daylight on warm paper
dusk    lamps on a dark ground, for screens
ink     line-work with flat tints on white, for print
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from pipeline.errors import OutputError
from pipeline.palette import CLAY, HIGH_AXIS, INTERMEDIATE_AXIS, LOW_AXIS
from pipeline.scene import FAINT, INK

Manner = Literal["lit", "drawn"]
Way = tuple[float, float, float]


@dataclass(frozen=True)
class Lamp:
    """A light that stands fixed beside the camera, far away.

    Attributes:
        way: where it shines from: right, up, towards the viewer.
        strength: of its light.
    """

    way: Way
    strength: float


@dataclass(frozen=True)
class Look:
    """How a picture looks; colours as '#RRGGBB'.

    Attributes:
        name: its word.
        manner: lit, or drawn with lines and flat tints.
        paper, paper_edge: the ground, in the middle and in the corners.
        plate: behind words that stand on a drawing.
        shadow, shadow_share: on the floor: its colour, and how strong; 0 for none.
        lamps: what lights it.
        even: whether the ground is broken up by half a level, so that no rings show on a dark one;
            it makes files larger.
        inks: what becomes of the colours of words, lines and axes; one that is missing stays.
    """

    name: str
    manner: Manner
    paper: str
    paper_edge: str
    plate: str
    shadow: str
    shadow_share: float
    lamps: tuple[Lamp, ...]
    even: bool = False
    inks: Mapping[str, str] = field(default_factory=dict)

    def ink(self, colour: str) -> str:
        """A colour of words, lines or axes as this look has it."""
        return self.inks.get(colour, colour)


_DAYLIGHT = (
    Lamp((-0.55, 0.80, 0.75), 1.95),
    Lamp((0.95, 0.25, 0.75), 1.15),
    Lamp((0.0, 0.1, 1.0), 1.10),
    Lamp((0.15, -1.0, 0.25), 0.45),
)
_LAMPS = (
    Lamp((-0.65, 0.75, 0.65), 2.30),
    Lamp((0.0, 0.15, 1.0), 0.85),
    Lamp((1.0, 0.35, -0.35), 2.60),  # from behind, so that dark edges stand out
    Lamp((-1.0, -0.3, -0.45), 1.30),
)
SHORE = Look("shore", "lit", "#F6F2EA", "#E3DCCF", "#F6F2EA", "#3A3226", 0.42, _DAYLIGHT)
DUSK = Look(
    "dusk", "lit", "#2A3238", "#12171B", "#1E252A", "#000000", 0.60, _LAMPS, True,
    {
        INK: "#F3EEE3",
        FAINT: "#B3AFA4",
        LOW_AXIS: "#5CCDC4",
        INTERMEDIATE_AXIS: "#E0B95A",
        HIGH_AXIS: "#F2839F",
        CLAY: "#E8795A",
    },
)  # fmt: skip
_HEAD = (Lamp((0.0, 0.0, 1.0), 1.0),)
DRAWN = Look(
    "ink",
    "drawn",
    "#FFFFFF",
    "#FFFFFF",
    "#FFFFFF",
    "#000000",
    0.0,
    _HEAD,
    False,
    {FAINT: "#55524B"},
)
LOOKS = {look.name: look for look in (SHORE, DUSK, DRAWN)}


def look_named(name: str) -> Look:
    """A look by its word.

    Raises:
        OutputError: there is none of that name.
    """
    if name not in LOOKS:
        raise OutputError(f"there is no look '{name}'; the looks are {', '.join(LOOKS)}")
    return LOOKS[name]
