"""A scene's bodies as a glTF file for any viewer: a node a part, named, with its materials."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import numpy as np

from pipeline.errors import KernelFault
from pipeline.glb import Material, Node, Primitive, write_nodes
from pipeline.glb_back import read_glb
from pipeline.pours import ROUGHNESS
from pipeline.scene import Scene, Surface

_BARE = "body"  # what belongs to no part


def write_scene(scene: Scene, path: Path) -> None:
    """Write what a scene shows, without its axes and words.

    A pearl or hybrid pour has its first colour: swirls are the renderer's own.

    Raises:
        KernelFault: the file does not read back with these bodies and triangles.
        OSError: the file cannot be written.
    """
    nodes = nodes_of(scene)
    write_nodes(nodes, path)
    due = {node.name: sum(len(p.triangles) for p in node.primitives) for node in nodes}
    found = {body.name: body.triangles for body in read_glb(path).bodies}
    if found != due:
        raise KernelFault(f"the glTF file reads back with {found} triangles where {due} are due")


def nodes_of(scene: Scene) -> list[Node]:
    """The bodies of a scene, each with its skin, its cut faces and their hatching."""
    parts: dict[tuple[int, str], list[Primitive]] = {}
    names: dict[int, str] = {}
    for surface in scene.surfaces:
        if surface.name:
            names[surface.part] = surface.name
        name = names.get(surface.part, _BARE)
        found = parts.setdefault((surface.part, name), [])
        if len(surface.triangles):  # hatching of a face that lies between two strokes has none
            found.append(_primitive(surface, name))
    taken: Counter[str] = Counter()
    nodes = []
    for (_, name), primitives in parts.items():
        taken[name] += 1
        called = name if taken[name] == 1 else f"{name} {taken[name]}"
        if primitives:
            nodes.append(Node(called, tuple(primitives)))
    return nodes


def _primitive(surface: Surface, name: str) -> Primitive:
    pour = surface.pour.kind if surface.pour else "solid"
    called, rough = {
        "skin": (f"{name}, {pour}", ROUGHNESS[pour]),
        "stroke": (f"{name}, hatching", 1.0),
    }.get(surface.finish, (f"{name}, cut face", 1.0))
    turned = surface.normals @ np.array(surface.pose.frame)
    return Primitive(
        surface.pose.placed(surface.points_mm),
        turned,
        surface.triangles,
        Material(called, surface.colour, rough, surface.opacity),
        surface.tints,
    )
