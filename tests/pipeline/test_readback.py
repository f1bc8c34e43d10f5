"""Files read back: good ones pass, and each way to spoil one is seen by a comparison."""

from __future__ import annotations

import re
import struct
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest
from OCP.Interface import Interface_Static

from pipeline.ball import build_ball
from pipeline.comparison import Comparison, Due
from pipeline.errors import KernelFault
from pipeline.load import read_design
from pipeline.readback import compare_step, read_step
from pipeline.solids import PartSolid, solids_of
from pipeline.step import bodies_of, write_step
from pipeline.stl import CHORD_MM, compare_stl, read_stl, write_stl
from shapes.boundary import area_of_solid, moments_of_solid
from shapes.facets import facets_of

NAMES = ("Brachvögel's", "核心 \\ \U0001f3b3", "a/b")
DESIGN = f"""
format: corewright 1
name: Dunlin
revision: A
units: mm
ball: {{diameter: 40}}
materials: {{a: {{density: 2.0}}, b: {{density: 1.0}}}}
parts:
  - {{name: "{NAMES[0]}", material: a, colour: '#B5482A', shape: cylinder, diameter: 12,
     height: 34, move: [1, 2, 0]}}
  - {{name: '{NAMES[1]}', material: b, colour: '#00FF00', shape: sphere, diameter: 30}}
  - {{name: '{NAMES[2]}', material: b, colour: '#1F4E5F', shape: sphere, diameter: 40}}
"""


@dataclass(frozen=True)
class Written:
    """The parts, what a file of them should hold, and the files."""

    parts: tuple[PartSolid, ...]
    due: tuple[Due, ...]
    step: Path
    stl: Path  # of the first part

    def rows(self, step: Path) -> list[Comparison]:
        return compare_step(step.name, "Dunlin", self.due, read_step(step))

    def stl_rows(self, stl: Path) -> list[Comparison]:
        return compare_stl(stl.name, self.due[0], read_stl(stl), CHORD_MM)


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Written:
    folder = tmp_path_factory.mktemp("readback")
    parts = solids_of(build_ball(read_design(DESIGN)))
    due = tuple(
        Due(b.name, b.colour, moments_of_solid(b.solid), facets_of(b.solid))
        for b in bodies_of(parts)
    )
    write_step(bodies_of(parts), "Dunlin", folder / "dunlin.step", "1970-01-01T00:00:00")
    write_stl(due[0].facets, folder / "core_mm.stl", "mm")
    return Written(parts, due, folder / "dunlin.step", folder / "core_mm.stl")


def failing(rows: Sequence[Comparison]) -> set[str]:
    return {row.quantity for row in rows if not row.passed}


def edited(path: Path, to: Path, old: str, new: str) -> Path:
    text = path.read_text("ascii")
    assert old in text
    to.write_text(text.replace(old, new), "ascii")
    return to


def test_a_good_step_file_passes(written: Written) -> None:
    assert failing(written.rows(written.step)) == set()


def test_a_good_stl_file_passes(written: Written) -> None:
    assert failing(written.stl_rows(written.stl)) == set()


def test_names_are_read_as_they_were_given(written: Written) -> None:
    assert tuple(body.name for body in read_step(written.step).bodies) == NAMES


def test_colours_are_read_as_they_were_given(written: Written) -> None:
    colours = [body.colour for body in read_step(written.step).bodies]
    assert colours == ["#B5482A", "#00FF00", "#1F4E5F"]


def test_volumes_are_those_of_the_parts_themselves(written: Written) -> None:
    # the parts' claims come from solids here, so the ball alone is exact: three spheres' worth
    total = sum(body.moments.volume_mm3 for body in read_step(written.step).bodies)
    assert total == pytest.approx(4.0 / 3.0 * np.pi * 20.0**3, rel=1e-9)


def test_the_box_of_the_cover_is_that_of_the_ball(written: Written) -> None:
    body = read_step(written.step).bodies[2]
    np.testing.assert_allclose(body.bounds_mm, [[-20.0] * 3, [20.0] * 3], atol=body.sag_mm)


def test_settings_left_by_others_change_nothing(written: Written) -> None:
    Interface_Static.SetCVal_s("xstep.cascade.unit", "INCH")
    try:
        assert failing(written.rows(written.step)) == set()
    finally:
        Interface_Static.SetCVal_s("xstep.cascade.unit", "MM")


def test_metres_are_seen_by_unit_and_size(written: Written, tmp_path: Path) -> None:
    bad = edited(
        written.step, tmp_path / "m.step", "SI_UNIT(.MILLI.,.METRE.)", "SI_UNIT($,.METRE.)"
    )
    assert {"unit", "volume", "centroid", "bounding box"} <= failing(written.rows(bad))


def test_inches_are_named(written: Written, tmp_path: Path) -> None:
    bad = edited(
        written.step,
        tmp_path / "in.step",
        "( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) )",
        "( CONVERSION_BASED_UNIT('INCH',#1) LENGTH_UNIT() NAMED_UNIT(#1) )",
    )
    assert read_step(bad).unit == "INCH"


def test_another_schema_is_seen(written: Written, tmp_path: Path) -> None:
    bad = edited(
        written.step,
        tmp_path / "s.step",
        "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF",
        "CONFIG_CONTROL_DESIGN",
    )
    assert failing(written.rows(bad)) == {"schema"}


def test_a_wrong_name_is_seen(written: Written, tmp_path: Path) -> None:
    bad = edited(written.step, tmp_path / "n.step", "\\X2\\00F6\\X0\\", "o")
    assert failing(written.rows(bad)) == {"name"}


def test_a_wrong_colour_is_seen(written: Written, tmp_path: Path) -> None:
    bad = edited(written.step, tmp_path / "c.step", "0.709804", "0.713725")  # B5 to B6
    assert failing(written.rows(bad)) == {"colour"}


def test_a_moved_part_is_seen(written: Written, tmp_path: Path) -> None:
    parts = solids_of(build_ball(read_design(DESIGN.replace("[1, 2, 0]", "[1, 2.001, 0]"))))
    write_step(bodies_of(parts), "Dunlin", tmp_path / "m.step", "1970-01-01T00:00:00")
    assert "centroid" in failing(written.rows(tmp_path / "m.step"))


def test_a_swapped_part_is_seen(written: Written, tmp_path: Path) -> None:
    first, second, third = written.parts
    swapped = (PartSolid(first.part, second.lumps), PartSolid(second.part, first.lumps), third)
    write_step(bodies_of(swapped), "Dunlin", tmp_path / "s.step", "1970-01-01T00:00:00")
    assert "volume" in failing(written.rows(tmp_path / "s.step"))


def test_a_missing_part_is_seen(written: Written, tmp_path: Path) -> None:
    write_step(bodies_of(written.parts[:2]), "Dunlin", tmp_path / "two.step", "1970-01-01T00:00:00")
    assert failing(written.rows(tmp_path / "two.step")) == {"solids"}


@pytest.fixture(scope="module")
def stating(written: Written, tmp_path_factory: pytest.TempPathFactory) -> Written:
    """The same with layers, and with validation properties stated."""
    step = tmp_path_factory.mktemp("stating") / "dunlin.step"
    bodies = [
        replace(body, layer="KERN ö", moments=due.moments)
        for body, due in zip(bodies_of(written.parts), written.due, strict=True)
    ]
    write_step(bodies, "Dunlin", step, "1970-01-01T00:00:00")
    due = tuple(
        replace(due, layer="KERN ö", area_mm2=area_of_solid(body.solid))
        for body, due in zip(bodies, written.due, strict=True)
    )
    return Written(written.parts, due, step, written.stl)


def test_layers_and_stated_properties_are_read_as_they_were_given(stating: Written) -> None:
    assert failing(stating.rows(stating.step)) == set()


def test_a_file_that_states_nothing_is_seen(stating: Written, written: Written) -> None:
    rows = compare_step("x.step", "Dunlin", stating.due, read_step(written.step))
    assert failing(rows) == {"layer", "stated volume", "stated surface area", "stated centroid"}


def test_a_layer_that_is_not_due_is_seen(stating: Written, written: Written) -> None:
    rows = compare_step("x.step", "Dunlin", written.due, read_step(stating.step))
    assert failing(rows) == {"layer"}


def test_a_wrong_volume_stated_is_seen(stating: Written, tmp_path: Path) -> None:
    text = stating.step.read_text("ascii")
    bad = re.sub(r"VOLUME_MEASURE\((\d+)", lambda m: f"VOLUME_MEASURE({int(m[1]) + 1}", text)
    (tmp_path / "v.step").write_text(bad, "ascii")
    assert failing(stating.rows(tmp_path / "v.step")) == {"stated volume"}


def test_a_step_file_cut_short_is_refused(written: Written, tmp_path: Path) -> None:
    short = tmp_path / "short.step"
    short.write_bytes(written.step.read_bytes()[:4000])
    try:
        seen = failing(written.rows(short))
    except KernelFault:
        seen = {"solids"}
    assert "solids" in seen


def test_what_is_no_step_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "x.step").write_text("no STEP file")
    with pytest.raises(KernelFault, match=r"x\.step cannot be read back"):
        read_step(tmp_path / "x.step")


def test_an_stl_file_cut_short_is_seen(written: Written, tmp_path: Path) -> None:
    short = tmp_path / "short.stl"
    short.write_bytes(written.stl.read_bytes()[:-500])
    assert {"size", "closed", "volume"} <= failing(written.stl_rows(short))


def test_an_stl_file_taken_for_inches_is_seen(written: Written, tmp_path: Path) -> None:
    data = bytearray(written.stl.read_bytes())
    for at in range(84, len(data), 50):
        corners = struct.unpack_from("<9f", data, at + 12)
        struct.pack_into("<9f", data, at + 12, *(25.4 * x for x in corners))
    (tmp_path / "in.stl").write_bytes(data)
    seen = failing(written.stl_rows(tmp_path / "in.stl"))
    assert seen == {"volume", "centroid", "bounding box"}


def test_an_stl_file_of_another_part_is_seen(written: Written, tmp_path: Path) -> None:
    write_stl(written.due[1].facets, tmp_path / "other.stl", "mm")
    assert {"triangles", "volume"} <= failing(written.stl_rows(tmp_path / "other.stl"))


def test_one_corner_out_of_place_is_seen(written: Written, tmp_path: Path) -> None:
    data = bytearray(written.stl.read_bytes())
    struct.pack_into("<f", data, 84 + 12, struct.unpack_from("<f", data, 84 + 12)[0] + 0.001)
    (tmp_path / "bent.stl").write_bytes(data)
    assert "closed" in failing(written.stl_rows(tmp_path / "bent.stl"))


def test_a_mesh_coarser_than_stated_is_seen(written: Written) -> None:
    rows = compare_stl("core_mm.stl", written.due[0], read_stl(written.stl), 1e-4)
    assert failing(rows) == {"chord"}
