"""What no single field of a design can know: names, materials and the last part, held together."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pipeline.design import PartDesign
from pipeline.document import Entries, Items, Node, Scalar
from pipeline.errors import Problem
from pipeline.fields import BAD, Bad, QuantityKind, Reading, nearest
from pipeline.units import MASS, MM_PER_IN


def cross_checks(
    node: Node, found: dict[str, Any] | Bad, bounds: QuantityKind
) -> Iterator[Problem]:
    """What no single field can know; each check reads the nodes, so that it works beside others."""
    if not isinstance(node, Entries):
        return
    yield from _check_materials(node, bounds)
    yield from _check_names(node)
    yield from _check_castings(node)
    if not isinstance(found, Bad):
        yield from _check_last(found)


def _check_materials(node: Entries, bounds: QuantityKind) -> Iterator[Problem]:
    materials = node.entries.get("materials")
    if not isinstance(materials, Entries):
        return
    free = []
    for name, material in materials.entries.items():
        if not isinstance(material, Entries):
            continue
        density = material.entries.get("density")
        is_free = isinstance(density, Scalar) and density.text == "free"
        if is_free:
            free.append(name)
        for bound in ("from", "to"):
            path = f"materials.{name}.{bound}"
            if is_free and bound not in material.entries:
                yield Problem(
                    material.line, path, "nothing is there", "allowed: a density",
                    "a free density needs its bounds, from and to",
                )  # fmt: skip
            if density is not None and not is_free and bound in material.entries:
                yield Problem(
                    material.key_lines[bound], path, f"read {material.entries[bound].shown}",
                    "allowed: only beside 'density: free'", "leave it out, or free the density",
                )  # fmt: skip
        yield from _check_bounds(name, material, bounds)
    for name in free[1:]:
        yield Problem(
            materials.key_lines[name], f"materials.{name}.density", "read 'free'",
            f"allowed: one free density, and that of {free[0]} is free already",
            "give one of the two a number",
        )  # fmt: skip
    ball = node.entries.get("ball")
    if free and isinstance(ball, Entries) and "weight" not in ball.entries:
        yield Problem(
            ball.line, "ball.weight", "nothing is there", f"allowed: {MASS.allowed}",
            f"the density of {free[0]} is free, and the weight decides it",
        )  # fmt: skip


def _check_bounds(name: str, material: Entries, bounds: QuantityKind) -> Iterator[Problem]:
    quiet = Reading()
    low, high = (
        bounds.read(material.entries[b], "", quiet) if b in material.entries else BAD
        for b in ("from", "to")
    )
    if not isinstance(low, Bad) and not isinstance(high, Bad) and low > high:
        yield Problem(
            material.key_lines["to"], f"materials.{name}.to",
            f"read {material.entries['to'].shown}", f"allowed: at least {low:g}, the lower bound",
            "swap from and to",
        )  # fmt: skip


def _check_names(node: Entries) -> Iterator[Problem]:
    parts, materials = node.entries.get("parts"), node.entries.get("materials")
    if not isinstance(parts, Items):
        return
    seen: dict[str, int] = {}
    known = list(materials.entries) if isinstance(materials, Entries) else []
    used = set()
    for k, part in enumerate(parts.items):
        if not isinstance(part, Entries):
            continue
        name, material = part.entries.get("name"), part.entries.get("material")
        if isinstance(name, Scalar):
            if name.text in seen:
                yield Problem(
                    name.line, f"parts[{k}].name", f"read {name.shown}",
                    f"allowed: a name of its own; line {seen[name.text]} has it already",
                )  # fmt: skip
            seen.setdefault(name.text, name.line)
        if isinstance(material, Scalar):
            used.add(material.text)
            if known and material.text not in known:
                yield Problem(
                    material.line, f"parts[{k}].material", f"read {material.shown}",
                    f"allowed: {', '.join(known)}", nearest(material.text, known),
                )  # fmt: skip
    if isinstance(materials, Entries):
        for word, keys in materials.entries.items():
            density = keys.entries.get("density") if isinstance(keys, Entries) else None
            if isinstance(density, Scalar) and density.text == "free" and word not in used:
                yield Problem(
                    materials.key_lines[word], f"materials.{word}.density", "read 'free'",
                    "allowed: a free density that some part is made of", f"no part uses {word}",
                )  # fmt: skip


def _check_castings(node: Entries) -> Iterator[Problem]:
    """A casting must be of a part that there is."""
    parts, process = node.entries.get("parts"), node.entries.get("process")
    castings = process.entries.get("castings") if isinstance(process, Entries) else None
    if not isinstance(parts, Items) or not isinstance(castings, Entries):
        return
    said = [part.entries.get("name") for part in parts.items if isinstance(part, Entries)]
    names = [name.text for name in said if isinstance(name, Scalar)]
    for name in castings.entries:
        if name not in names:
            yield Problem(
                castings.key_lines[name], f"process.castings.{name}", f"read '{name}'",
                f"allowed: a part of this ball: {', '.join(names)}", nearest(name, names),
            )  # fmt: skip


def _check_last(found: dict[str, Any]) -> Iterator[Problem]:
    """The last part must be the ball, or it would leave a void."""
    from shapes.placement import AS_DRAWN
    from shapes.sphere import Sphere

    last: PartDesign = found["parts"][-1]
    diameter = found["ball"]["diameter"]
    is_ball = (
        isinstance(last.shape, Sphere)
        and abs(last.shape.diameter - diameter) <= 1e-9 * diameter
        and last.placement.move_mm == AS_DRAWN.move_mm
    )
    if not is_ball:
        yield Problem(
            last.line, f"parts[{len(found['parts']) - 1}]",
            f"the last part, {last.name}, is not the ball",
            f"allowed: a sphere of the ball's diameter ({diameter / MM_PER_IN:.4f} in) about its "
            "centre, so that no void is left",
        )  # fmt: skip
