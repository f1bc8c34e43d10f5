"""What was asked: a design as one frozen value, units resolved."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Literal

from pipeline.drilling import Drilling
from pipeline.process import NOTHING_ASKED, Process
from pipeline.wanted import NOTHING, Wanted
from shapes.attachment import Attachment
from shapes.placement import AS_DRAWN, Placement
from shapes.shape import Shape


@dataclass(frozen=True)
class FreeDensity:
    """A density to be solved so that the ball weighs what it should, within bounds, g/cm3."""

    from_g_cm3: float
    to_g_cm3: float


@dataclass(frozen=True)
class Material:
    """A compound that is poured.

    Attributes:
        name: the design's own word for it.
        density: g/cm3, or bounds for one that is solved.
    """

    name: str
    density: float | FreeDensity


@dataclass(frozen=True)
class PartDesign:
    """One part as it was asked for; earlier parts keep their space.

    Attributes:
        name: the part's name.
        material: name of its material.
        shape: the whole shape, whatever of it earlier parts take.
        placement: where it stands in the ball frame.
        colour: '#RRGGBB', or None for the colour of its place in the ball.
        line: where it stands in the file, 1-based; 0 when it comes from no file.
        note: the designer's own words about it; they change no figure.
        pour: how its resin is mixed, for pictures: solid, pearl or hybrid.
        second_colour: '#RRGGBB', what is swirled into it; None for a paler shade of its colour.
    """

    name: str
    material: str
    shape: Shape
    placement: Placement = AS_DRAWN
    colour: str | None = None
    line: int = 0
    note: str = ""
    pour: Literal["solid", "pearl", "hybrid"] = "solid"
    second_colour: str | None = None


@dataclass(frozen=True)
class Design:
    """A whole design file.

    Attributes:
        name: of the ball.
        revision: of the design.
        diameter_mm: of the ball.
        weight_g: what it should weigh, or None.
        materials: by the order of the file.
        parts: inside out.
        date: ISO date that artefacts carry, or None.
        sha256: of the file's bytes; of nothing when it comes from no file.
        file: the path as it was given; empty when it comes from no file.
        source: the file's bytes, so that a package can carry it.
        attachments: the files that it refers to, by name, so that a package can carry them too.
        wanted: what it is to become.
        drilling: its holes, or None.
        process: how its parts are cast.
        drilling_file: the file of the drilling where that is another one than the ball's.
        undrilled: the design of the ball, as its own file has it, where that is another one.
        notes: the designer's own words about the ball, text by text; they change no figure.
    """

    name: str
    revision: str
    diameter_mm: float
    weight_g: float | None
    materials: tuple[Material, ...]
    parts: tuple[PartDesign, ...]
    date: str | None = None
    sha256: str = ""
    file: str = ""
    source: bytes = b""
    attachments: tuple[Attachment, ...] = ()
    wanted: Wanted = NOTHING
    drilling: Drilling | None = None
    process: Process = NOTHING_ASKED
    drilling_file: str = ""
    undrilled: Design | None = None
    notes: tuple[str, ...] = ()

    def hashes(self) -> dict[str, str]:
        """What it was read from: SHA-256 of its own file, under 'design', and of those it names."""
        named = {a.name: hashlib.sha256(a.data).hexdigest() for a in self.attachments}
        return {"design": self.sha256, **{f"file {name}": found for name, found in named.items()}}

    def material(self, name: str) -> Material:
        """The material of that name; KeyError when there is none."""
        for material in self.materials:
            if material.name == name:
                return material
        raise KeyError(name)
