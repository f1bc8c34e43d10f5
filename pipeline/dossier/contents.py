"""Everything that a dossier tells of a design, as plain data: what its page and its PDF say.

The data are made from the design alone, so that whoever holds them can make them again and see
whether each figure still stands.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from pipeline.ball import Ball
from pipeline.check import ESTIMATE, Finding, check
from pipeline.design import Design, FreeDensity
from pipeline.dossier.axis_angles import axis_angles
from pipeline.dossier.changed import Earlier, changed
from pipeline.dossier.sensitivities import sensitivities
from pipeline.drill_check import check_drilled
from pipeline.drilled import Drilled
from pipeline.drilled_figures import drilled_figures
from pipeline.figures import figures, rounded
from pipeline.limits import AS_OF
from pipeline.line_means import LineError
from pipeline.lineup import line_up
from pipeline.lineup_results import as_figures
from pipeline.manifest import identity, versions
from pipeline.prove import Proof, first_route, prove
from pipeline.prove_drilled import drilled_route, prove_drilled
from pipeline.solids import PartSolid
from pipeline.tool_findings import findings_of
from pipeline.tool_letter import facts_of
from pipeline.tooling import Tooling, tooling_of
from pipeline.units import G_PER_LB, MM_PER_IN
from pipeline.weigh import MassProperties
from shapes.plugins import family_of, words
from shapes.shape import Shape

FORMAT = "corewright dossier 1"
MESH_MM = (0.15, 0.3)  # chord and angle, radians, of the triangles that are weighed: as shown
Data = Mapping[str, Any]


@dataclass(frozen=True, eq=False)
class Contents:
    """What was worked out of a design.

    Attributes:
        data: all that is told, plain numbers and words, ready for JSON.
        ball: as it is cast.
        shown: with its holes, where the design drills some; else the same.
        properties: of the ball that is shown.
        drilled: the drilled ball, or None.
        solids: of the ball that is shown.
        tooling: of a design that says how it is cast, or None.
    """

    data: dict[str, Any]
    ball: Ball
    shown: Ball
    properties: MassProperties
    drilled: Drilled | None
    solids: tuple[PartSolid, ...]
    tooling: Tooling | None


def contents(ball: Ball, earlier: Earlier | None = None) -> Contents:
    """Work out all that a dossier tells.

    Args:
        ball: as its design asks for, before holes are drilled.
        earlier: what counts of an earlier dossier, to tell the changes from.

    Raises:
        BallError: a hole or the layout cannot be.
        ToolingError: a casting or its mould cannot be made as the design asks.
        KernelFault: the kernel's solids are not what the design asks for.
    """
    undrilled = replace(ball, design=ball.design.undrilled or ball.design)
    own = first_route(undrilled)
    findings = check(undrilled, own.properties)
    drilled: Drilled | None = None
    if ball.design.drilling is None:
        proof = prove(undrilled, mesh=MESH_MM)
        made = figures(undrilled, own.properties, proof.routes, timed=False)
    else:
        drilled, route = drilled_route(ball)
        proof = prove_drilled(drilled, route, mesh=MESH_MM)
        made = drilled_figures(drilled, proof.routes, [own], timed=False)
        findings = (*findings, *check_drilled(drilled))
    tooling = tooling_of(undrilled) if undrilled.design.process.castings else None
    properties = proof.routes[0].properties
    data: dict[str, Any] = {
        "format": FORMAT,
        "note": ESTIMATE,
        "limits_as_of": AS_OF,
        "design": _design(ball),
        "versions": versions(),
        "figures": made,
        "about_ball_centre_lb_in2": _about_centre(properties),
        "axes": axis_angles(properties, drilled),
        "routes_disagree": list(proof.disagreements),
        "mesh": {"chord_mm": MESH_MM[0], "triangles": _triangles(proof)},
        "findings": [_row(one) for one in findings],
        **_line(undrilled.design),
        "sensitivities": sensitivities(undrilled),
        **({} if tooling is None else {"tooling": _tooling(tooling)}),
    }
    if earlier is not None:
        data["changed"] = changed(earlier, data)
    shown = ball if drilled is None else drilled.as_ball()
    return Contents(data, undrilled, shown, properties, drilled, proof.solids, tooling)


def _design(ball: Ball) -> dict[str, Any]:
    """Identity, source and files of a design: enough to make all of this again."""
    design = ball.design
    return {
        **identity(ball),
        "source": _text(design.source),
        "files": [
            {
                "name": one.name,
                "sha256": hashlib.sha256(one.data).hexdigest(),
                "base64": base64.b64encode(one.data).decode("ascii"),
            }
            for one in design.attachments
        ],
        "diameter_in": rounded(design.diameter_mm / MM_PER_IN, 6),
        "weight_lb": None if design.weight_g is None else rounded(design.weight_g / G_PER_LB, 6),
        "parts": [_part(ball, k) for k in range(len(ball.parts))],
        "notes": list((design.undrilled or design).notes),
    }


def _text(source: bytes) -> str:
    return source.decode("utf-8")


def _part(ball: Ball, index: int) -> dict[str, Any]:
    """What is asked of a part: its shape, its material, the designer's note."""
    part, asked = ball.parts[index], ball.design.parts[index]
    density = ball.design.material(part.material).density
    return {
        "name": part.name,
        "role": part.role,
        "shape": _word(asked.shape),
        "material": part.material,
        "density": "solved" if isinstance(density, FreeDensity) else "given",
        "colour": part.colour,
        "note": asked.note,
    }


def _word(shape: Shape) -> str:
    """What a design file calls a shape's family."""
    return next(word for word in words() if family_of(word) is type(shape))


def _about_centre(properties: MassProperties) -> list[list[float]]:
    """The inertia tensor about the ball's centre, by the parallel axes (Steiner)."""
    d = properties.centre_of_gravity_mm
    moved = properties.mass_g * (float(d @ d) * np.eye(3) - np.outer(d, d))
    tensor = (properties.inertia_g_mm2 + moved) / (G_PER_LB * MM_PER_IN**2)
    bound = properties.bound.rg_mm / MM_PER_IN
    places = max(int(np.ceil(-np.log10(bound) - 1e-9)) - 2, 3)
    return [[rounded(float(x), places) for x in row] for row in tensor]


def _row(finding: Finding) -> dict[str, Any]:
    """A finding for machines, with the ends of what is allowed."""
    return {
        "rule": finding.rule,
        "value": _sure(finding.value),
        "unit": finding.unit,
        "limit": finding.limit,
        "least": _sure(finding.least),
        "most": _sure(finding.most),
        "margin": _sure(finding.margin),
        "verdict": finding.verdict,
        "source": finding.source,
        "confidence": finding.confidence,
        "note": finding.note,
    }


def _sure(value: float | None) -> float | None:
    return None if value is None else rounded(value, 9)


def _line(design: Design) -> dict[str, Any]:
    """The core at the line's weights, where a density can bring balls to them."""
    free = any(isinstance(m.density, FreeDensity) for m in design.materials)
    if design.weight_g is None or not (free or design.wanted.line.means):
        return {}
    try:
        line = as_figures(design, line_up(design))
    except LineError as error:
        return {"line_refused": str(error)}
    for row in line["weights"]:  # where the file lay is no matter of the design
        if row["why"] and design.file:
            row["why"] = row["why"].removeprefix(f"{design.file}: ")
    return {"line": line}


def _tooling(tooling: Tooling) -> dict[str, Any]:
    return {
        "castings": [
            {
                "name": casting.name,
                "facts": {
                    fact.label: f"{fact.value} (assumed)" if fact.assumed else fact.value
                    for fact in facts_of(casting, tooling.tool(casting))
                },
            }
            for casting in tooling.castings
        ],
        "findings": [
            {key: value for key, value in row.items() if key != "picture"}
            for row in findings_of(tooling.checks, {})
        ],
    }


def _triangles(proof: Proof) -> int:
    meshes: Sequence[Any] = [mesh for own in proof.facets for mesh in own]
    return sum(len(mesh.triangles) for mesh in meshes)
