"""Drawings for cutting: half-sections of turned castings, and the outlines at parting planes."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from pipeline.casting_facts import plane_words
from pipeline.castings import Casting
from pipeline.checked import AS_CAST, AS_CUT
from pipeline.dxf_back import DxfDue, compare_dxf, due_of_section, read_dxf
from pipeline.dxf_out import DxfLayer, half_section, outline, write_dxf
from pipeline.kernel import kernel
from pipeline.mould_features import face_axes
from pipeline.moulds import Tool
from pipeline.package_files import Package, check_rows, file_of, together
from pipeline.tool_groups import CUT_WORDS, Stems
from shapes.moments import Array
from shapes.pieces import Split
from shapes.profile import Profile
from shapes.sphere import Sphere

if TYPE_CHECKING:
    import cadquery as cq

_SAME = 1e-9  # share of the volume
FOLDER = "sections"


def profile_of(casting: Casting) -> Profile | None:
    """The half-section of a casting's outside, cold; None for one that is not turned.

    Nor for a lump that other parts have cut, or one with stock on anything but a ball.
    """
    shape, stock = casting.part.body.shape, casting.asked.stock_mm or 0.0
    if isinstance(shape, Sphere) and casting.mould == "round":
        return Sphere(shape.diameter + 2.0 * stock).section()
    section = shape.section()
    if section is None or stock:
        return None
    with kernel():
        from shapes.boundary import moments_of_solid

        found = moments_of_solid(casting.envelope).volume_mm3
    return section if abs(found / section.moments().volume_mm3 - 1.0) < _SAME else None


def write_sections(casting: Casting, stems: Stems, folder: Path) -> Package:
    """The half-section of a turned casting, cold and as cut, each as a DXF file; or nothing."""
    section = profile_of(casting)
    if section is None:
        return Package((), ())
    with kernel():
        from shapes.grown import grown_profile

        grown = grown_profile(section, casting.shrinkage.along, casting.shrinkage.across)
    stem = stems.castings[casting.name]
    packages = [
        _written(
            f"{FOLDER}/{stem}-half-section-{word.replace(' ', '-')}.dxf",
            f"half-section of {casting.name}, {said}; without rod hole; DXF, millimetres",
            list(due_of_section(profile)), half_section(profile), folder,
        )
        for word, said, profile in (
            (AS_CAST, "as cast, cold", section), (AS_CUT, f"as cut: {CUT_WORDS}", grown),
        )
    ]  # fmt: skip
    return together(packages)


def write_outlines(tool: Tool, stems: Stems, folder: Path) -> Package:
    """The outline of what is hollow at each parting plane, as cut, each as a DXF file."""
    stem, packages = stems.castings[tool.casting.name], []
    for k, split in enumerate(tool.splits):
        with kernel():
            from shapes.plane_cuts import faces_on

            faces = faces_on(tool.mould.filled, split)
        frame = _frame(tool, split)
        layer = outline([edge for face in faces for edge in face.Edges()], *frame)
        packages.append(
            _written(
                f"{FOLDER}/{stem}-parting-{k + 1}.dxf",
                f"outline of {tool.casting.name} with its gates at parting plane {k + 1} "
                f"({plane_words(split)}), seen from where {tool.piece_names[k]} was: as on what is "
                f"left, for {tool.piece_names[k]} itself mirror it; x along {_said(frame[1])}, y "
                f"along {_said(frame[2])}; {CUT_WORDS}; DXF, millimetres",
                [_due(layer, faces, frame)], (layer,), folder,
            )
        )  # fmt: skip
    return together(packages)


def _frame(tool: Tool, split: Split) -> tuple[Array, Array, Array]:
    """A plane's origin, x and y, as on the sheet of what is left behind."""
    normal = np.array(split.normal)
    return split.height_mm * normal, *face_axes(tool, normal)


def _due(layer: DxfLayer, faces: Sequence[cq.Face], frame: tuple[Array, Array, Array]) -> DxfDue:
    """What a layer should hold: the area and the extent of the faces that it outlines."""
    origin, x, y = frame
    with kernel():
        from shapes.extent import extent_mm
        from shapes.plane_cuts import area_mm2

        ends = np.array([[extent_mm(face, way) for way in (x, y)] for face in faces])
        area = area_mm2(faces)
    bounds = np.array([ends[:, :, 0].min(axis=0), ends[:, :, 1].max(axis=0)])
    return DxfDue(layer, bounds - np.array([origin @ x, origin @ y]), area)


def _said(way: Array) -> str:
    return "(" + ", ".join(f"{c + 0.0:.3g}" for c in way) + ")"


def _written(
    name: str, what: str, due: Sequence[DxfDue], layers: Sequence[DxfLayer], folder: Path
) -> Package:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    write_dxf(path, layers)
    rows = compare_dxf(name, due, read_dxf(path))
    check_rows(rows)
    return Package((file_of(path, what, name),), tuple(rows))
