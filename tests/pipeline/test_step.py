r"""The STEP file: names, colours, unit and solids, by gmsh and by the few rules of ISO 10303-21.

gmsh weighs by the kernel's default quadrature, which is right on planes, cylinders and spheres
only, so the balls here are made of those, but for the test of the forms that do not last.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import gmsh
import numpy as np
import pytest
from OCP.Interface import Interface_Static

from pipeline.ball import Ball, build_ball
from pipeline.load import read_design
from pipeline.solids import PartSolid, solids_of
from pipeline.step import Body, bodies_of, write_step
from shapes.boundary import moments_of_solid
from shapes.sphere import Sphere

WHEN = "2026-11-25T00:00:00"
SLAB, CORE, COVER = "it's 核心/Ø \U0001f3b3", 'Brachvögel "x" \\X2\\', " -$- ;"[1:]
NAME = "Godwit \u2018ö\u2019"
# a disc that cuts the core in two, and stands askew
SPLIT = f"""
format: corewright 1
name: "{NAME}"
revision: A
units: mm
ball: {{diameter: 40}}
materials: {{a: {{density: 2.0}}, b: {{density: 1.0}}}}
parts:
  - {{name: "{SLAB}", material: a, colour: '#b5482a', shape: cylinder, diameter: 34, height: 6,
     tilt: {{by: 20 deg, toward: 40 deg}}, move: [0, 0, 1]}}
  - {{name: '{CORE}', material: b, colour: '#FF0000', shape: sphere, diameter: 30}}
  - {{name: '{COVER}', material: b, colour: '#010203', shape: sphere, diameter: 40}}
"""
# a core that pokes through the one around it
POKE = """
format: corewright 1
name: Turnstone
revision: A
units: mm
ball: {diameter: 40}
materials: {a: {density: 2.0}, b: {density: 1.0}}
parts:
  - {name: core, material: a, shape: cylinder, diameter: 12, height: 34}
  - {name: Turnstone, material: b, shape: sphere, diameter: 30}
  - {name: cover, material: b, shape: sphere, diameter: 40}
"""
# faces that the kernel's reader turns into others when they are written as they are
FRAGILE = {
    "oblate ellipsoid": "shape: ellipsoid, size: [20, 20, 15], move: [0, 0, 2]",
    "lens": "shape: turned, profile: [[0, -8], {arc: [0, 8], through: [5, 0]}], move: [1, 0, 2]",
    "sphere across a seam": "shape: sphere, diameter: 22.77, move: [2.956, 1.184, -1.811], "
    "tilt: {by: 4.8 deg, toward: 54.3 deg}",
}


def parts_of(text: str) -> tuple[Ball, tuple[PartSolid, ...]]:
    ball = build_ball(read_design(text))
    return ball, solids_of(ball)


@contextmanager
def in_gmsh(path: Path) -> Iterator[list[int]]:
    """The solids of a file, by their numbers, in a fresh gmsh."""
    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.option.setString("Geometry.OCCTargetUnit", "MM")  # else it keeps that of another file
        gmsh.model.occ.importShapes(str(path))
        gmsh.model.occ.synchronize()
        yield [tag for _, tag in gmsh.model.getEntities(3)]
    finally:
        gmsh.finalize()


def decoded(string: str) -> str:
    """The inside of a STEP string as text: quotes, reverse solidus, X2 and X4 pages."""

    def page(match: re.Match[str]) -> str:
        width = {"2": 4, "4": 8}[match[1]]
        codes = match[2]
        return "".join(chr(int(codes[k : k + width], 16)) for k in range(0, len(codes), width))

    pieces = re.split(r"(\\\\)", string.replace("''", "'"))
    return "".join(
        "\\" if piece == "\\\\" else re.sub(r"\\X([24])\\([0-9A-F]+)\\X0\\", page, piece)
        for piece in pieces
    )


def products(text: str) -> list[str]:
    """Names of the products of a file, in its order."""
    found = re.findall(r"= PRODUCT\('(?:[^']|'')*','((?:[^']|'')*)'", text)
    return [decoded(name) for name in found]


@pytest.fixture(scope="module")
def split(tmp_path_factory: pytest.TempPathFactory) -> tuple[tuple[PartSolid, ...], Path]:
    ball, parts = parts_of(SPLIT)
    path = tmp_path_factory.mktemp("step") / "godwit.step"
    write_step(bodies_of(parts), ball.design.name, path, WHEN)
    return parts, path


@pytest.fixture(scope="module")
def text(split: tuple[tuple[PartSolid, ...], Path]) -> str:
    return split[1].read_bytes().decode("ascii")  # fails on any other byte


def test_a_core_cut_in_two_is_two_bodies(split: tuple[tuple[PartSolid, ...], Path]) -> None:
    names = [body.name for body in bodies_of(split[0])]
    assert names == [SLAB, f"{CORE} (1)", f"{CORE} (2)", COVER]


def test_every_name_is_written_so_that_it_reads_the_same(text: str) -> None:
    assert products(text) == [NAME, SLAB, f"{CORE} (1)", f"{CORE} (2)", COVER]


def test_no_string_of_the_file_holds_a_stray_quote(text: str) -> None:
    assert re.sub(r"'(?:[^']|'')*'", "", text).count("'") == 0


def test_instances_are_named_like_their_products(text: str) -> None:
    found = re.findall(r"USAGE_OCCURRENCE\('((?:[^']|'')*)','((?:[^']|'')*)'", text)
    names = products(text)[1:]
    assert [(decoded(a), decoded(b)) for a, b in found] == [(name, name) for name in names]


def test_ids_of_products_differ_when_ball_and_part_share_a_name(tmp_path: Path) -> None:
    ball, parts = parts_of(POKE)
    write_step(bodies_of(parts), ball.design.name, tmp_path / "t.step", WHEN)
    ids = re.findall(r"= PRODUCT\('([^']*)'", (tmp_path / "t.step").read_text())
    assert len(set(ids)) == 4


def test_the_schema_is_ap242(text: str) -> None:
    assert "FILE_SCHEMA(('AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF" in text


def test_every_length_is_in_millimetres(text: str) -> None:
    lengths = re.findall(r"LENGTH_UNIT\(\) NAMED_UNIT\(\*\) (SI_UNIT\([^)]*\))", text)
    assert set(lengths) == {"SI_UNIT(.MILLI.,.METRE.)"}


def test_colours_are_the_parts_own(text: str) -> None:
    rgb = [
        tuple(round(255 * float(x)) for x in found.split(","))
        for found in re.findall(r"COLOUR_RGB\('',([^)]*)\)", text)
    ]
    assert rgb == [(0xB5, 0x48, 0x2A), (255, 0, 0), (255, 0, 0), (1, 2, 3)]


def test_the_header_carries_the_time_it_was_given_and_no_person(text: str) -> None:
    line = "FILE_NAME('godwit.step','2026-11-25T00:00:00',(''),(''),'corewright','corewright','');"
    assert line in text


def test_the_same_parts_give_the_same_bytes(
    split: tuple[tuple[PartSolid, ...], Path], tmp_path: Path
) -> None:
    path = tmp_path / split[1].name
    write_step(bodies_of(split[0]), NAME, path, WHEN)
    assert path.read_bytes() == split[1].read_bytes()


def test_settings_left_by_others_change_nothing(
    split: tuple[tuple[PartSolid, ...], Path], tmp_path: Path
) -> None:
    path = tmp_path / split[1].name
    Interface_Static.SetCVal_s("write.step.unit", "INCH")
    try:
        write_step(bodies_of(split[0]), NAME, path, WHEN)
        after = Interface_Static.CVal_s("write.step.unit")
    finally:
        Interface_Static.SetCVal_s("write.step.unit", "MM")
    assert (path.read_bytes(), after) == (split[1].read_bytes(), "INCH")


def test_gmsh_finds_the_volumes(split: tuple[tuple[PartSolid, ...], Path]) -> None:
    # lumps one by one: the two caps by the parts' own moments together
    with in_gmsh(split[1]) as tags:
        found = [gmsh.model.occ.getMass(3, tag) for tag in tags]
    due = [one.part.claimed.volume_mm3 for one in split[0]]
    assert [found[0], found[1] + found[2], found[3]] == pytest.approx(due, rel=1e-6)


def test_gmsh_finds_the_ball_in_its_place(split: tuple[tuple[PartSolid, ...], Path]) -> None:
    with in_gmsh(split[1]):
        box = gmsh.model.getBoundingBox(-1, -1)
    # gmsh widens boxes by the kernel's tolerance
    np.testing.assert_allclose(box, [-20.0] * 3 + [20.0] * 3, atol=1e-5)


def test_gmsh_finds_a_core_that_pokes_through(tmp_path: Path) -> None:
    ball, parts = parts_of(POKE)
    write_step(bodies_of(parts), ball.design.name, tmp_path / "t.step", WHEN)
    with in_gmsh(tmp_path / "t.step") as tags:
        found = [gmsh.model.occ.getMass(3, tag) for tag in tags]
    assert found == pytest.approx([one.part.claimed.volume_mm3 for one in parts], rel=1e-6)


@pytest.mark.parametrize("shape", FRAGILE.values(), ids=FRAGILE)
def test_a_shape_that_readers_turn_into_another_comes_back_whole(
    shape: str, tmp_path: Path
) -> None:
    ball, parts = parts_of(POKE.replace("shape: cylinder, diameter: 12, height: 34", shape))
    write_step(bodies_of(parts), ball.design.name, tmp_path / "t.step", WHEN)
    with in_gmsh(tmp_path / "t.step") as tags:
        found = [gmsh.model.occ.getMass(3, tag) for tag in tags]
    # gmsh's own quadrature is off by up to a percent on rational faces; a lost one costs far more
    due = [one.part.claimed.volume_mm3 for one in parts]
    assert found == pytest.approx(due, rel=0.02)


def balls(*layers: str) -> list[Body]:
    """Balls of radius 10, each on a layer and with its moments."""
    solid = Sphere(20.0).solid()
    moments = moments_of_solid(solid)
    return [Body(f"{k}", "#B5482A", solid, layer, moments) for k, layer in enumerate(layers)]


def text_of(bodies: list[Body], path: Path) -> str:
    write_step(bodies, "Dunlin", path, WHEN, "for looking at, millimetres")
    return path.read_text("ascii")


def test_the_header_says_what_the_file_is(tmp_path: Path) -> None:
    assert "'Dunlin, for looking at, millimetres'" in text_of(balls(""), tmp_path / "a.step")


def test_solids_on_one_layer_stand_in_one_assignment(tmp_path: Path) -> None:
    found = text_of(balls("a", "it's ¶1", "a", ""), tmp_path / "a.step")
    rows = re.findall(r"= PRESENTATION_LAYER_ASSIGNMENT\('((?:[^']|'')*)','',\(([^)]*)\)", found)
    solids = re.findall(r"(#\d+) = MANIFOLD_SOLID_BREP", found)
    assert [(decoded(name), items) for name, items in rows] == [
        ("a", f"{solids[0]},{solids[2]}"),
        ("it's ¶1", solids[1]),
    ]


def test_a_solid_without_moments_states_none(text: str) -> None:
    assert "validation property" not in text


def test_volume_area_and_centroid_stand_in_the_units_of_the_file(tmp_path: Path) -> None:
    # by the rules of ISO 10303-21 and the units of ISO 10303-41: follow the references
    found = text_of(balls(""), tmp_path / "a.step")
    entity = dict(re.findall(r"(#\d+) = ([^;]*);", found))
    pattern = r"(VOLUME|AREA)_MEASURE\(([^)]*)\),(#\d+)\)"
    stated = {}
    for kind, value, unit in re.findall(pattern, found):
        (element,) = re.findall(r"#\d+", entity[unit])
        length, power = re.findall(r"\((#\d+),([^)]*)\)", entity[element])[0]
        assert "SI_UNIT(.MILLI.,.METRE.)" in entity[length]
        stated[kind] = (float(value), float(power))
    assert stated == {
        "VOLUME": (pytest.approx(4000.0 / 3.0 * np.pi), 3.0),
        "AREA": (pytest.approx(400.0 * np.pi), 2.0),
    }


def test_properties_hang_on_the_definition_of_the_part(tmp_path: Path) -> None:
    found = text_of(balls("", ""), tmp_path / "a.step")
    entity = dict(re.findall(r"(#\d+) = ([^;]*);", found))
    hung = re.findall(
        r"PROPERTY_DEFINITION\('geometric validation property','\w[^']*',(#\d+)", found
    )
    names = []
    for definition in hung:
        (part,) = re.findall(r"#\d+", entity[definition])
        formation = re.findall(r"#\d+", entity[part])[0]
        (product,) = re.findall(r"#\d+", entity[formation])
        names.append(re.findall(r"PRODUCT\('(\d)'", entity[product])[0])
    assert names == ["0"] * 3 + ["1"] * 3
