"""The shape families, by the word that a design file uses for them."""

from __future__ import annotations

from shapes.barrel import Barrel
from shapes.blocks import Ell, Slab, Tee
from shapes.bossed import Bossed
from shapes.box import Box
from shapes.bulb import Bulb
from shapes.capped import Capped, Recessed
from shapes.compose import Cut, Join, Mirror, Repeat
from shapes.cylinder import Cylinder
from shapes.ellipsoid import Ellipsoid
from shapes.flared import Flared
from shapes.harmonic import Harmonic
from shapes.hewn import Flats, Scallops
from shapes.inserts import Cap, Disc, Ring, Rod
from shapes.mesh_body import MeshBody
from shapes.shape import Shape
from shapes.sphere import Sphere
from shapes.spool import Spool
from shapes.stacked import Frusta, Stepped
from shapes.step_body import StepBody
from shapes.superellipsoid import Superellipsoid
from shapes.swept import Lobed, Twisted
from shapes.turned import Turned

FAMILIES: dict[str, type[Shape]] = {
    # the same all round
    "sphere": Sphere,
    "ellipsoid": Ellipsoid,
    "superellipsoid": Superellipsoid,
    "cylinder": Cylinder,
    "barrel": Barrel,
    "spool": Spool,
    "flared": Flared,
    "bulb": Bulb,
    "capped": Capped,
    "recessed": Recessed,
    "frusta": Frusta,
    "stepped": Stepped,
    "turned": Turned,
    "disc": Disc,
    "rod": Rod,
    "ring": Ring,
    "cap": Cap,
    # not the same all round
    "box": Box,
    "slab": Slab,
    "tee": Tee,
    "ell": Ell,
    "flats": Flats,
    "scallops": Scallops,
    "bossed": Bossed,
    "lobed": Lobed,
    "twisted": Twisted,
    "harmonic": Harmonic,
    # made of others
    "join": Join,
    "cut": Cut,
    "mirror": Mirror,
    "repeat": Repeat,
    # from files
    "step": StepBody,
    "mesh": MeshBody,
}
