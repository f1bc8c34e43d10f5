"""A drilling in a file of its own: the ball that it names, with these holes."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest
import trimesh

from pipeline.ball import build_ball
from pipeline.design import Design
from pipeline.drilled import drill
from pipeline.errors import DesignError
from pipeline.load import load, read_design
from pipeline.shipped import shipped
from tests.pipeline.drilled_text import HOLE, MARKED, UNEVEN, holes, swapped, text

BALL = swapped(text("", UNEVEN), ("revision: A\n", "revision: A\ndate: 2026-11-25\n"))
OWN = """\
format: corewright drilling 1
design: dunlin.yaml
units: in
drilling:
"""


def written(folder: Path, drilling: str = OWN + MARKED, ball: str = BALL) -> Path:
    (folder / "dunlin.yaml").write_text(ball, encoding="utf-8")
    path = folder / "drilling.yaml"
    path.write_text(drilling, encoding="utf-8")
    return path


def loaded(folder: Path, *changes: tuple[str, str]) -> Design:
    return load(written(folder, swapped(OWN + MARKED, *changes)))


def refused(path: Path) -> str:
    with pytest.raises(DesignError) as told:
        load(path)
    return str(told.value)


def test_the_ball_has_the_parts_of_its_design(tmp_path: Path) -> None:
    design = loaded(tmp_path)
    base = load(tmp_path / "dunlin.yaml")
    assert (design.parts, design.materials, design.diameter_mm) == (
        base.parts, base.materials, base.diameter_mm,
    )  # fmt: skip


def test_it_has_the_holes_of_the_drilling(tmp_path: Path) -> None:
    drilling = loaded(tmp_path).drilling
    assert drilling is not None
    assert drilling.grip is not None
    assert drilling.grip.bridge_mm == pytest.approx(6.35)


def test_name_revision_and_date_are_those_of_the_ball(tmp_path: Path) -> None:
    design = loaded(tmp_path)
    assert (design.name, design.revision, design.date) == ("Dunlin", "A", "2026-11-25")


@pytest.mark.parametrize(
    ("key", "value"), [("name", "Godwit"), ("revision", "B"), ("date", "2026-12-01")]
)
def test_a_drilling_may_have_its_own(tmp_path: Path, key: str, value: str) -> None:
    design = loaded(tmp_path, ("units: in\n", f"{key}: {value}\nunits: in\n"))
    assert getattr(design, key) == value


def test_it_knows_both_files(tmp_path: Path) -> None:
    design = loaded(tmp_path)
    assert design.file == str(tmp_path / "dunlin.yaml")
    assert design.drilling_file == str(tmp_path / "drilling.yaml")


def test_the_hash_and_the_source_are_those_of_the_drilling(tmp_path: Path) -> None:
    data = (OWN + MARKED).encode()
    design = loaded(tmp_path)
    assert (design.source, design.sha256) == (data, hashlib.sha256(data).hexdigest())


def test_the_design_is_carried_along(tmp_path: Path) -> None:
    assert [(a.name, a.data) for a in loaded(tmp_path).attachments] == [
        ("dunlin.yaml", BALL.encode())
    ]


def test_files_of_the_design_are_carried_along(tmp_path: Path) -> None:
    core = trimesh.creation.icosphere(2, 45.0).export(file_type="stl")
    (tmp_path / "core.stl").write_bytes(core)
    ball = text("", "shape: mesh, file: core.stl, unit: mm")
    design = load(written(tmp_path, OWN + holes(HOLE), ball))
    assert [(a.name, a.data) for a in design.attachments] == [
        ("core.stl", core),
        ("dunlin.yaml", ball.encode()),
    ]


def test_units_of_the_drilling_are_its_own(tmp_path: Path) -> None:
    drilling = loaded(
        tmp_path, ("units: in\n", "units: mm\n"), ("over: 5, up: 1/2", "over: 127, up: 12.5")
    ).drilling
    assert drilling is not None
    assert drilling.axis_point is not None
    assert vars(drilling.axis_point) == {"over_mm": 127.0, "up_mm": 12.5}


def test_without_units_a_bare_length_is_refused_whatever_the_ball_says(tmp_path: Path) -> None:
    told = refused(written(tmp_path, swapped(OWN + MARKED, ("units: in\n", ""))))
    assert "drilling.yaml:11: drilling.axis_point.over: read '5': it has no unit" in told


def test_one_core_meets_many_drillings(tmp_path: Path) -> None:
    first = load(written(tmp_path))
    other = tmp_path / "other.yaml"
    other.write_text(OWN + holes(HOLE), encoding="utf-8")
    second = load(other)
    assert second.parts == first.parts
    assert second.attachments == first.attachments
    assert [len(d.drilling.holes) for d in (first, second) if d.drilling] == [0, 1]


def test_a_design_that_is_not_there_is_refused_with_the_nearest(tmp_path: Path) -> None:
    told = refused(written(tmp_path, swapped(OWN + MARKED, ("dunlin.yaml", "dunlim.yaml"))))
    assert told.startswith(
        f"{tmp_path / 'drilling.yaml'}:2: design: read 'dunlim.yaml': there is no such file; "
        "allowed: the name of the design file in the design's folder"
    )
    assert told.endswith("did you mean 'dunlin.yaml'?")


def test_a_design_must_be_named(tmp_path: Path) -> None:
    told = refused(written(tmp_path, swapped(OWN + MARKED, ("design: dunlin.yaml\n", ""))))
    assert "drilling.yaml:1: design: nothing is there; allowed: the name of the design" in told


def test_a_drilling_file_must_hold_a_drilling(tmp_path: Path) -> None:
    told = refused(written(tmp_path, swapped(OWN, ("drilling:\n", ""))))
    assert "drilling.yaml:1: drilling: nothing is there; allowed: keys hand, axis_point" in told


def test_parts_in_a_drilling_file_are_refused(tmp_path: Path) -> None:
    told = refused(written(tmp_path, OWN + MARKED + "parts: []\n"))
    assert "parts: read 'parts'; allowed: keys format, design, name, revision, date" in told


def test_a_ball_with_a_drilling_of_its_own_is_refused(tmp_path: Path) -> None:
    told = refused(written(tmp_path, ball=text(MARKED, UNEVEN)))
    assert re.search(
        r"drilling\.yaml:\d: design: read 'dunlin\.yaml'; allowed: a ball without a drilling of "
        r"its own; take 'drilling' out of dunlin\.yaml, or put it in a file like this",
        told,
    )


def test_that_refusal_stands_at_the_line_of_the_design(tmp_path: Path) -> None:
    told = refused(written(tmp_path, ball=text(MARKED, UNEVEN)))
    assert told.startswith(f"{tmp_path / 'drilling.yaml'}:2: design: ")


def test_a_design_in_a_folder_below_is_refused(tmp_path: Path) -> None:
    path = written(tmp_path, swapped(OWN + MARKED, ("dunlin.yaml", "balls/dunlin.yaml")))
    (tmp_path / "balls").mkdir()
    (tmp_path / "dunlin.yaml").rename(tmp_path / "balls" / "dunlin.yaml")
    assert "design: read 'balls/dunlin.yaml'; allowed: a design file beside this one" in (
        refused(path)
    )


def test_a_design_in_the_folder_above_is_refused(tmp_path: Path) -> None:
    below = tmp_path / "below"
    below.mkdir()
    path = written(below, swapped(OWN + MARKED, ("dunlin.yaml", "../dunlin.yaml")))
    (below / "dunlin.yaml").rename(tmp_path / "dunlin.yaml")
    assert "drilling.yaml:2: design: read '../dunlin.yaml': it leaves the design's folder" in (
        refused(path)
    )


def test_problems_of_the_design_stand_at_its_own_lines(tmp_path: Path) -> None:
    told = refused(written(tmp_path, ball=swapped(BALL, ("density: 2.3", "density: heavy"))))
    assert told.startswith(
        f"{tmp_path / 'dunlin.yaml'}:7: materials.clay.density: read 'heavy': it does not start"
    )


def test_a_drilling_file_is_no_design_for_another(tmp_path: Path) -> None:
    told = refused(written(tmp_path, ball=OWN + MARKED))
    assert "drilling.yaml:2: design: read 'dunlin.yaml': that is a drilling file itself" in told


DOCUMENT = Path(__file__).parents[2] / "docs" / "drilling.md"


def blocks() -> list[str]:
    """The YAML of the page on drilling."""
    return re.findall(r"```yaml\n(.*?)```", DOCUMENT.read_text(encoding="utf-8"), re.S)


def test_the_drilling_file_of_the_page_lays_its_holes_out(tmp_path: Path) -> None:
    (tmp_path / "dunlin.yaml").write_bytes(shipped("dunlin").read_bytes())
    (tmp_path / "drilled.yaml").write_text(blocks()[0], encoding="utf-8")
    found = drill(build_ball(load(tmp_path / "drilled.yaml")))
    assert found is not None
    assert [hole.name for hole in found.holes] == ["middle", "ring", "thumb"]


def test_the_raw_holes_of_the_page_stand_in_a_design() -> None:
    text = shipped("dunlin").read_text(encoding="utf-8") + blocks()[1]
    found = drill(build_ball(read_design(text)))
    assert found is not None
    assert [hole.name for hole in found.holes] == ["thumb"]
