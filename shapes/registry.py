"""The shape families, by the word that a design file uses for them."""

from __future__ import annotations

from shapes.box import Box
from shapes.cylinder import Cylinder
from shapes.ellipsoid import Ellipsoid
from shapes.shape import Shape
from shapes.sphere import Sphere
from shapes.turned import Turned

FAMILIES: dict[str, type[Shape]] = {
    "sphere": Sphere,
    "ellipsoid": Ellipsoid,
    "cylinder": Cylinder,
    "box": Box,
    "turned": Turned,
}
