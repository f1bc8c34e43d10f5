"""A whole ball built a second time in Gmsh from the numbers of its design file.

Nothing of the product is used: the file is read by ruamel.yaml alone (bare lengths in inches, one
free density), half-sections come from SciPy (`outlines`), solids and booleans from Gmsh's own copy
of OpenCASCADE, mass properties from that kernel's default quadrature.  The latter is right to
about 1e-8 in of RG on planes, quadrics and tori, and on turned cubics when each span is a face.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import pi
from typing import Any

import gmsh
import numpy as np
from ruamel.yaml import YAML

from tests.reference.outlines import Piece, arc_through, line, rounded, spline

MM_PER_IN, G_PER_LB = 25.4, 453.59237
Array = np.ndarray
occ = gmsh.model.occ


@dataclass(frozen=True)
class Weighed:
    """A ball as Gmsh finds it: g and mm, the tensor about the centre of gravity."""

    mass: float
    centre: Array
    inertia: Array
    volumes: tuple[float, ...]

    def rg_in(self) -> Array:
        """Low, intermediate and high RG."""
        return np.asarray(np.sqrt(np.linalg.eigvalsh(self.inertia) / self.mass)) / MM_PER_IN


def weigh_in_gmsh(text: str) -> Weighed:
    """Build and weigh the ball of a design file."""
    design = YAML(typ="safe").load(text)
    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        parts = [_moments(lumps) for lumps in _claims([_build(p) for p in design["parts"]])]
    finally:
        gmsh.finalize()
    volumes = tuple(volume for volume, _, _ in parts)
    densities = _densities(design, volumes)
    masses = [v * d for v, d in zip(volumes, densities, strict=True)]
    mass = sum(masses)
    centre = sum(m * c for m, (_, c, _) in zip(masses, parts, strict=True)) / mass
    inertia = np.zeros((3, 3))
    for m, density, (_, c, own) in zip(masses, densities, parts, strict=True):
        d = c - centre
        inertia += density * own + m * (d @ d * np.eye(3) - np.outer(d, d))
    return Weighed(mass, centre, inertia, volumes)


def _densities(design: dict[str, Any], volumes: Sequence[float]) -> list[float]:
    """G/mm3 of every part; the free one makes up the weight, such as '15 lb'."""
    words = [part["material"] for part in design["parts"]]
    given = {name: m["density"] for name, m in design["materials"].items()}
    known = sum(given[w] * v for w, v in zip(words, volumes, strict=True) if given[w] != "free")
    open_volume = sum(v for w, v in zip(words, volumes, strict=True) if given[w] == "free")
    if open_volume:
        weight = float(design["ball"]["weight"].split()[0]) * G_PER_LB * 1000
        given = {n: (weight - known) / open_volume if d == "free" else d for n, d in given.items()}
    return [given[w] / 1000 for w in words]


def _claims(bodies: Sequence[int]) -> list[list[int]]:
    """Each body less those before it; copies, since a boolean would use them up."""
    left = []
    for k, body in enumerate(bodies):
        copies = occ.copy([(3, b) for b in bodies[: k + 1]])
        found = occ.cut(copies[-1:], copies[:-1])[0] if k else copies
        left.append([tag for _, tag in found])
        assert all(occ.getMass(3, tag) > 0 for tag in left[-1]), body
    return left


def _moments(lumps: Sequence[int]) -> tuple[float, Array, Array]:
    """Volume, centroid and inertia about it of one body in several lumps."""
    volumes = np.array([occ.getMass(3, tag) for tag in lumps])
    centres = np.array([occ.getCenterOfMass(3, tag) for tag in lumps])
    centre = volumes @ centres / volumes.sum()
    inertia = np.zeros((3, 3))
    for tag, volume, c in zip(lumps, volumes, centres, strict=True):
        d = c - centre
        inertia += np.reshape(occ.getMatrixOfInertia(3, tag), (3, 3))
        inertia += volume * (d @ d * np.eye(3) - np.outer(d, d))
    return float(volumes.sum()), centre, inertia


def _build(part: dict[str, Any]) -> int:
    """The whole shape where it stands."""
    tag = {"sphere": _sphere, "cylinder": _cylinder, "ellipsoid": _ellipsoid, "box": _box,
           "turned": _turned}[part["shape"]](part)  # fmt: skip
    solid = [(3, tag)]
    occ.rotate(solid, 0, 0, 0, 0, 0, 1, np.radians(part.get("spin", 0.0)))
    tilt = part.get("tilt", {"by": 0.0, "toward": 0.0})
    azimuth = np.radians(tilt["toward"])
    occ.rotate(solid, 0, 0, 0, -np.sin(azimuth), np.cos(azimuth), 0, np.radians(tilt["by"]))
    occ.translate(solid, *(MM_PER_IN * x for x in part.get("move", (0, 0, 0))))
    return tag


def _sphere(part: dict[str, Any]) -> int:
    return int(occ.addSphere(0, 0, 0, part["diameter"] * MM_PER_IN / 2))


def _cylinder(part: dict[str, Any]) -> int:
    h, r = part["height"] * MM_PER_IN, part["diameter"] * MM_PER_IN / 2
    return int(occ.addCylinder(0, 0, -h / 2, 0, 0, h, r))


def _ellipsoid(part: dict[str, Any]) -> int:
    """Round about Z only: half an ellipse turned; a stretched sphere would be a spline."""
    a, same, c = (size * MM_PER_IN / 2 for size in part["size"])
    assert a == same
    ends = [_point(np.array(p)) for p in ((0.0, -c), (a, 0.0), (0.0, c))]
    centre, major = _point(np.zeros(2)), ends[1 if a > c else 2]
    arcs = [int(occ.addEllipseArc(p, centre, major, q)) for p, q in pairwise(ends)]
    return _revolved([*arcs, int(occ.addLine(ends[2], ends[0]))])


def _box(part: dict[str, Any]) -> int:
    size = np.array(part["size"]) * MM_PER_IN
    tag = int(occ.addBox(*-size / 2, *size))
    if not part.get("round"):
        return tag
    occ.synchronize()
    return int(occ.fillet([tag], _edges(tag), [part["round"] * MM_PER_IN])[0][1])


def _edges(volume: int) -> list[int]:
    faces = gmsh.model.getBoundary([(3, volume)], oriented=False)
    return sorted({tag for _, tag in gmsh.model.getBoundary(faces, combined=False, oriented=False)})


def _turned(part: dict[str, Any]) -> int:
    pieces = outline_of(part)
    curves: list[int] = []
    points = [_point(pieces[0].at(pieces[0].knots[0]))]
    start = points[0]
    for piece in pieces:
        for low, high in pairwise(piece.knots):
            last = piece is pieces[-1] and high == piece.knots[-1]
            end = _point(piece.at(high) * ([0.0, 1.0] if last else 1.0))
            curves.append(_curve(piece, low, high, points[-1], end))
            points.append(end)
    return _revolved([*curves, int(occ.addLine(points[-1], start))])


def _revolved(curves: Sequence[int]) -> int:
    face = occ.addPlaneSurface([occ.addCurveLoop(curves)])
    made = occ.revolve([(2, face)], 0, 0, 0, 0, 0, 1, 2 * pi)
    (tag,) = [tag for dim, tag in made if dim == 3]
    return int(tag)


def _point(at: Array) -> int:
    return int(occ.addPoint(float(at[0]), 0.0, float(at[1])))


def _curve(piece: Piece, low: float, high: float, a: int, b: int) -> int:
    """One line, arc or cubic span; a span's inner Bezier points follow from its end slopes."""
    if piece.kind == "line":
        return int(occ.addLine(a, b))
    if piece.kind == "arc":
        middle = _point(piece.at((low + high) / 2))
        return int(occ.addCircleArc(a, middle, b, center=False))
    h = (high - low) / 3
    inner = [piece.at(low) + h * piece.slope(low), piece.at(high) - h * piece.slope(high)]
    return int(occ.addBezier([a, *(_point(p) for p in inner), b]))


def outline_of(part: dict[str, Any]) -> list[Piece]:
    """The half-section of a turned part, mm, with its fillets."""

    def mm(point: Sequence[float]) -> tuple[float, float]:
        return point[0] * MM_PER_IN, point[1] * MM_PER_IN

    steps = part["profile"]
    here = mm(steps[0])
    pieces = []
    for step in steps[1:]:
        if isinstance(step, list):
            pieces.append(line(here, mm(step)))
            here = mm(step)
        elif "arc" in step:
            pieces.append(arc_through(here, mm(step["through"]), mm(step["arc"])))
            here = mm(step["arc"])
        else:
            points = [here, *(mm(p) for p in step["spline"])]
            pieces.append(spline(points, step.get("leave"), step.get("arrive")))
            here = points[-1]
    radius = part.get("round", 0.0) * MM_PER_IN
    return rounded(pieces, radius) if radius else pieces
