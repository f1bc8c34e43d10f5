"""What exists: parts that claim their space inside out, each of a material, free density solved."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from pipeline.design import Design, FreeDensity, Material, PartDesign
from pipeline.errors import BallError, KernelFault, NeedsSolids, OutOfReach
from pipeline.limits import COMPONENT_DENSITY_G_CM3
from pipeline.palette import colour_of
from pipeline.units import G_PER_LB, G_PER_MM3, MM_PER_IN
from shapes.claims import claims, lie
from shapes.counted import counted
from shapes.errors import ShapeError
from shapes.halfplane import Relation
from shapes.moments import Array, Mask, Moments
from shapes.placed import Placed
from shapes.sphere import Sphere

Role = Literal["inner core", "insert", "outer core", "cover", "grip insert"]
Route = Literal["moments", "boundary", "columns"]
NOTHING = 1e-10  # share of the ball's volume below which nothing is left of a part
_OUTER_FROM_MM3 = 1.35e6  # a quarter of a ball; inner cores hold half of that
_SUM = 1e-7  # parts add up to the ball to this share


@dataclass(frozen=True)
class Part:
    """One part of the ball.

    Attributes:
        name, material: as in the design.
        density_g_cm3: given, or solved.
        role: its place in the ball, from the order of the parts.
        colour: '#RRGGBB'.
        body: the whole shape where it stands; earlier parts may take some of its space.
        claimed: moments of the space that is its own, about the ball's centre.
    """

    name: str
    material: str
    density_g_cm3: float
    role: Role
    colour: str
    body: Placed
    claimed: Moments

    @property
    def mass_g(self) -> float:
        """Mass of the part."""
        return self.claimed.volume_mm3 * self.density_g_cm3 * G_PER_MM3


@dataclass(frozen=True)
class Bore:
    """What a drill takes, before any part claims its space: the name of its hole, and its body."""

    name: str
    body: Placed


@dataclass(frozen=True)
class Ball:
    """The whole ball.

    Attributes:
        design: what it was made from.
        parts: inside out.
        route: 'moments' when every claim came from the shapes' own moments, 'boundary' when some
            parts share space in a way that needed solids, 'columns' when it is drilled.
        bores: what drills take.
    """

    design: Design
    parts: tuple[Part, ...]
    route: Route
    bores: tuple[Bore, ...] = ()

    @property
    def radius_mm(self) -> float:
        """Radius of the finished ball."""
        return self.design.diameter_mm / 2.0

    @property
    def bodies(self) -> tuple[Placed, ...]:
        """The whole shapes, inside out."""
        return tuple(part.body for part in self.parts)

    def in_bores(self, points: Array) -> Mask:
        """Which of the points, shape (n, 3), were drilled away."""
        inside = np.zeros(len(points), dtype=bool)
        for bore in self.bores:
            inside |= bore.body.contains(points)
        return inside


def build_ball(design: Design, *, sound: bool = False, solids: bool = True) -> Ball:
    """Place the parts, let them claim their space, and solve the free density.

    Args:
        design: what was asked.
        sound: whether bodies made of bodies are known to be sound solids, and need no proof.
        solids: whether the CAD kernel may be asked where the shapes' own moments do not decide.

    Raises:
        BallError: a part leaves the ball, or has no volume left.
        OutOfReach: the weight cannot be reached.
        NeedsSolids: only solids could tell, and they may not be asked.

    >>> from pipeline import ball, load
    >>> from pipeline.shipped import shipped
    >>> dunlin = ball.build_ball(load.load(shipped("dunlin")))
    >>> [part.role for part in dunlin.parts]
    ['inner core', 'outer core', 'cover']
    """
    if not sound:
        _check_sound(design)
    bodies = tuple(Placed(part.shape, part.placement) for part in design.parts)
    _check_inside(design, bodies)
    claimed, route = _claimed(bodies, solids=solids)
    _check_claims(design, claimed)
    densities = _densities(design, claimed)
    roles = roles_of(bodies, claimed)
    parts = tuple(
        Part(
            asked.name,
            asked.material,
            densities[asked.material],
            role,
            colour,
            body,
            moments,
        )
        for asked, role, colour, body, moments in zip(
            design.parts,
            roles,
            _colours(design.parts, roles),
            bodies,
            claimed,
            strict=True,
        )
    )
    return Ball(design, parts, route)


def place_of(design: Design, part: PartDesign) -> str:
    """Where a part stands in its file, for messages."""
    where = f"{design.file}:{part.line}: " if part.line else ""
    return f"{where}part '{part.name}'"


def _check_sound(design: Design) -> None:
    """Whether bodies made of bodies, or read from files, are each one sound solid."""
    faults = []
    for part in design.parts:
        if part.shape.needs_proof:
            from pipeline.solids import prove_shape

            try:
                prove_shape(part.shape)
            except ShapeError as error:
                faults.append(f"{place_of(design, part)}: {error.field}: {error.reason}")
            except KernelFault as error:  # it says what to change
                faults.append(f"{place_of(design, part)}: {error}")
    if faults:
        raise BallError("\n".join(faults))


def _check_inside(design: Design, bodies: tuple[Placed, ...]) -> None:
    radius = design.diameter_mm / 2.0
    faults = []
    for part, body in zip(design.parts, bodies, strict=True):
        beyond = body.reach_mm(np.zeros(3)) - radius
        if beyond > 1e-9 * radius and body.shape.reaches_no_farther:
            from pipeline.solids import reach_of_solid_mm

            beyond = reach_of_solid_mm(body) - radius
        if beyond > 1e-9 * radius:
            faults.append(
                f"{place_of(design, part)} leaves the ball by {beyond / MM_PER_IN:.4f} in "
                f"({beyond:.3f} mm); every part must lie in the ball: make it smaller or move it"
            )
    if faults:
        raise BallError("\n".join(faults))


def _claimed(bodies: tuple[Placed, ...], *, solids: bool) -> tuple[list[Moments], Route]:
    found = claims(bodies)
    exact = [moments for moments in found if moments is not None]
    if len(exact) == len(found):
        return exact, "moments"
    if not solids:
        raise NeedsSolids("parts share space in a way that only solids can weigh")
    from pipeline.solids import claimed_by_solids

    solved = claimed_by_solids(bodies)
    return [s if m is None else m for m, s in zip(found, solved, strict=True)], "boundary"


def _check_claims(design: Design, claimed: list[Moments]) -> None:
    faults = []
    whole = Sphere(design.diameter_mm).moments().volume_mm3
    for index, part in enumerate(design.parts):
        if claimed[index].volume_mm3 <= NOTHING * whole:
            earlier = ", ".join(f"'{p.name}'" for p in design.parts[:index])
            faults.append(
                f"{place_of(design, part)} has no volume left: the parts before it ({earlier}) "
                "take all its space; list it earlier, or make it larger"
            )
    if faults:
        raise BallError("\n".join(faults))
    total = sum(moments.volume_mm3 for moments in claimed)
    if abs(total / whole - 1.0) > _SUM:
        raise KernelFault(
            f"the parts of {design.name} add up to {total / whole:.9f} of the ball's volume"
        )


def _densities(design: Design, claimed: list[Moments]) -> dict[str, float]:
    """Density of every material, the free one solved from the ball's weight."""
    volume = dict.fromkeys((m.name for m in design.materials), 0.0)
    for part, moments in zip(design.parts, claimed, strict=True):
        volume[part.material] += moments.volume_mm3
    fixed = {m.name: m.density for m in design.materials if isinstance(m.density, float)}
    free = [m for m in design.materials if isinstance(m.density, FreeDensity)]
    if not free:
        return fixed
    (material,) = free
    if design.weight_g is None:
        raise BallError(f"the density of {material.name} is free, but the ball has no weight")
    rest = sum(volume[name] * density * G_PER_MM3 for name, density in fixed.items())
    density = (design.weight_g - rest) / (volume[material.name] * G_PER_MM3)
    _check_free(design, material, density, rest, volume[material.name])
    return {**fixed, material.name: density}


def _check_free(
    design: Design, material: Material, density: float, rest_g: float, volume_mm3: float
) -> None:
    assert isinstance(material.density, FreeDensity)
    low, high = material.density.from_g_cm3, material.density.to_g_cm3
    top = min(high, COMPONENT_DENSITY_G_CM3)
    if low - 1e-12 <= density <= top + 1e-12:
        return
    reach = [(rest_g + volume_mm3 * d * G_PER_MM3) / G_PER_LB for d in (low, top)]
    weight = (design.weight_g or 0.0) / G_PER_LB
    cap = (
        f" and the governing body's limit of {COMPONENT_DENSITY_G_CM3:.2f} g/mL on any component"
        if top < high
        else ""
    )
    where = f"{design.file}: " if design.file else ""
    span = (
        f"from {reach[0]:.3f} to {reach[1]:.3f} lb can be reached"
        if low <= top
        else "no weight can be reached"
    )
    raise OutOfReach(
        f"{where}materials.{material.name}: {weight:.3f} lb would need a density of "
        f"{density:.4f} g/cm3, outside its bounds {low:g} to {high:g} g/cm3{cap}; {span}: change "
        "ball.weight, the bounds, or another density"
    )


def roles_of(bodies: tuple[Placed, ...], claimed: list[Moments]) -> list[Role]:
    """The last part is the cover, the one before it the outer core.

    So is a sphere before that which holds all the parts before it, or another body that does and
    is as large as an outer core.  Of what is left the part with
    the most volume is the inner core; the others are inserts.
    """
    roles: list[Role] = ["insert"] * len(bodies)
    roles[-1] = "cover"
    first_outer = len(bodies) - 1
    if len(bodies) >= 3:
        first_outer -= 1
        while first_outer > 1 and _is_outer(bodies[first_outer - 1], bodies[: first_outer - 1]):
            first_outer -= 1
    for k in range(first_outer, len(bodies) - 1):
        roles[k] = "outer core"
    if first_outer > 0:
        biggest = max(range(first_outer), key=lambda k: claimed[k].volume_mm3)
        roles[biggest] = "inner core"
    return roles


def _is_outer(body: Placed, earlier: tuple[Placed, ...]) -> bool:
    """Whether a body is an outer core round all earlier ones."""
    large = isinstance(body.shape, Sphere) or body.moments().volume_mm3 >= _OUTER_FROM_MM3
    return large and all(_holds(body, other) for other in earlier)


def _holds(outer: Placed, body: Placed) -> bool:
    """Whether a body holds another whole: told by rule, else by points of the other's own space."""
    found = lie(body, outer)
    if found is not None:
        return found is Relation.WITHIN
    return counted(body, lambda points: ~outer.contains(points))[0] == 0.0


def _colours(parts: tuple[PartDesign, ...], roles: list[Role]) -> list[str]:
    """The design's own colours, else that of the role and its turn among parts of that role."""
    seen: dict[str, int] = {}
    colours = []
    for part, role in zip(parts, roles, strict=True):
        turn = seen.get(role, 0)
        seen[role] = turn + 1
        colours.append(part.colour or colour_of(role, turn))
    return colours
