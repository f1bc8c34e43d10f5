"""What can be asked of a view beside its name."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Literal

from pipeline.errors import OutputError

Faces = Literal["hatched", "plain"]


@dataclass(frozen=True)
class Wish:
    """What is asked of a view; None for what suits it.

    Attributes:
        toward_deg: azimuth of the middle of what is cut out, from +X about +Z.
        opening_deg: the angle of what is cut out.
        faces: how cut faces are drawn.
        from_deg: the viewer's azimuth, from +X about +Z.
        above_deg: the viewer's elevation.
        number: the one of the numbers that may vary that a morph varies, by its name.
    """

    toward_deg: float | None = None
    opening_deg: float | None = None
    faces: Faces | None = None
    from_deg: float | None = None
    above_deg: float | None = None
    number: str | None = None

    @property
    def hatched(self) -> bool:
        """Whether cut faces are hatched."""
        return self.faces != "plain"

    def check(self, view: str, takes: frozenset[str]) -> None:
        """Refuse what a view cannot do, and angles that are none.

        Raises:
            OutputError: says what is allowed.
        """
        for field in fields(self):
            if getattr(self, field.name) is not None and field.name not in takes:
                said = ", ".join(SAID[name] for name in SAID if name in takes) or "nothing"
                raise OutputError(
                    f"the view '{view}' takes no {SAID[field.name]}; what it takes: {said}"
                )
        if self.opening_deg is not None and not 10.0 <= self.opening_deg <= 300.0:
            raise OutputError(
                f"an opening of {self.opening_deg:g} deg cannot be drawn; it may be from 10 to 300"
            )
        if self.above_deg is not None and not -80.0 <= self.above_deg <= 80.0:
            raise OutputError(
                f"{self.above_deg:g} deg above cannot be drawn; it may be from -80 to 80"
            )
        for angle in (self.toward_deg, self.from_deg):
            if angle is not None and not -360.0 <= angle <= 360.0:
                raise OutputError(f"{angle:g} is no azimuth; give it from -360 to 360 deg")


SAID = {
    "toward_deg": "--toward",
    "opening_deg": "--opening",
    "faces": "--faces",
    "from_deg": "--from",
    "above_deg": "--above",
    "number": "--number",
}
AS_IT_SUITS = Wish()
