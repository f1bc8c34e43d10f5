"""Whatever a comparison writes down can be asked of the file again, whatever its kind."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from pipeline.comparison import Comparison, Due
from pipeline.dxf_back import compare_dxf, due_of_section, read_dxf
from pipeline.dxf_out import half_section, write_dxf
from pipeline.glb import write_glb
from pipeline.glb_back import compare_glb, read_glb
from pipeline.meshes import MeshPart
from pipeline.quantities import quantities_of
from pipeline.readback import compare_step, read_step
from pipeline.step import Body, write_step
from pipeline.stl import compare_stl, read_stl, write_stl
from pipeline.threemf import compare_3mf, read_3mf, write_3mf
from shapes.boundary import area_of_solid
from shapes.cylinder import Cylinder
from shapes.facets import facets_of

SHAPE = Cylinder(12.0, 18.0)
KINDS = (".stl", ".step", ".3mf", ".glb", ".dxf")


@pytest.fixture(scope="module")
def rows(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Path, list[Comparison]]]:
    """A file of each kind and the comparisons that were made of it."""
    folder = tmp_path_factory.mktemp("quantities")
    path = {kind: folder / f"core{kind}" for kind in KINDS}
    solid, moments = SHAPE.solid(), SHAPE.moments()
    mesh = facets_of(solid)
    due = Due("core", "#B5482A", moments, mesh)
    stated = Due("core", "#B5482A", moments, mesh, "CORE", area_of_solid(solid))
    part, profile = MeshPart("core", "#B5482A", mesh), SHAPE.section()
    write_stl(mesh, path[".stl"], "mm")
    write_step([Body("core", "#B5482A", solid, "CORE", moments)], "Dunlin", path[".step"], "1970")
    write_3mf([part], path[".3mf"], "Dunlin")
    write_glb([part], path[".glb"])
    write_dxf(path[".dxf"], half_section(profile))
    made = {
        ".stl": compare_stl("core.stl", due, read_stl(path[".stl"]), 0.05),
        ".step": compare_step("core.step", "Dunlin", [stated], read_step(path[".step"])),
        ".3mf": compare_3mf("core.3mf", [due], read_3mf(path[".3mf"]), 0.05),
        ".glb": compare_glb("core.glb", [due], read_glb(path[".glb"]), 0.05),
        ".dxf": compare_dxf("core.dxf", due_of_section(profile), read_dxf(path[".dxf"])),
    }
    return {kind: (path[kind], made[kind]) for kind in KINDS}


@pytest.mark.parametrize("kind", KINDS)
def test_every_comparison_passes(kind: str, rows: dict[str, tuple[Path, list[Comparison]]]) -> None:
    assert [row for row in rows[kind][1] if not row.passed] == []


@pytest.mark.parametrize("kind", KINDS)
def test_every_quantity_but_the_chord_is_found_again(
    kind: str, rows: dict[str, tuple[Path, list[Comparison]]]
) -> None:
    path, made = rows[kind]
    asked = quantities_of(path)
    for row in made:
        if row.quantity == "chord":  # that takes the exact surface
            continue
        found = asked(row.body, row.quantity)
        if isinstance(row.found, bool | str | int):
            assert found == row.found, row
        else:
            np.testing.assert_allclose(np.ravel(found), np.ravel(row.found), rtol=1e-12, atol=1e-12)


@pytest.mark.parametrize("kind", KINDS)
def test_a_body_that_is_not_there_has_no_quantity(
    kind: str, rows: dict[str, tuple[Path, list[Comparison]]]
) -> None:
    body = "cover"
    found = quantities_of(rows[kind][0])(body, "bounding box")
    assert (found is None) == (kind != ".stl")  # an STL file holds one body, whatever its name
