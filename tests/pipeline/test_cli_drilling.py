"""The drilling commands, and what the others do with a drilled design: status, words, files."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from functools import partial
from io import StringIO
from pathlib import Path
from typing import Any, NamedTuple

import pytest

import pipeline.drill_package
import pipeline.make
from pipeline.cli import main
from pipeline.drilled import Drilled
from pipeline.picture import picture, picture_drilled
from tests.pipeline.drilled_text import BARE, UNEVEN, holes, swapped, text

# a ball for the table: its meshes are small, so that a whole package takes seconds
SMALL = """\
format: corewright 1
name: Godwit
revision: C
date: 2026-11-25
units: mm
ball: {diameter: 40}
materials: {clay: {density: 2.3}, shell: {density: 1.1}}
parts:
  - {name: inner core, material: clay, shape: ellipsoid, size: [18, 18, 24]}
  - {name: cover, material: shell, shape: sphere, diameter: 40}
"""
DRILLING = """\
drilling:
  hand: left
  axis_point: {arc: 20, azimuth: 100}
  holes:
    - {name: thumb, use: thumb, at: {arc: 41, azimuth: 10}, diameter: 5, depth: 14}
    - {name: middle, use: finger, at: {arc: 22, azimuth: 10}, towards: [0.5, 1, 0], diameter: 5,
       depth: 13, insert: {bore: 7, depth: 6, density: 1.1}}
"""
SIX = "drilling:\n" + holes(
    *(
        f"name: h{k}, use: {'finger' if k else 'thumb'}, at: {{arc: 30, azimuth: {60 * k}}}, "
        "diameter: 4, depth: 6"
        for k in range(6)
    )
)
GEOMETRY = {"godwit.step", "inner-core_mm.stl", "cover_mm.stl", "insert-of-middle_mm.stl"}
PICTURES = {"drilled.png", "bored.png", "taken.png", "rings.png", "axis-map.png", "pin-map.png"}
OWN = {"README.md", "figures.json", "findings.json", "drill-sheet.pdf", "drill-sheet.svg"}
RULES = {"gripping holes", "thumb holes", "finger holes", "balance holes", "holes end in the ball"}


class Done(NamedTuple):
    """How a command ended and what it said."""

    status: int
    out: str
    err: str


def named(_: Drilled, view: str) -> bytes:
    """Stands for a picture."""
    return view.encode()


def run(*words: str | Path, rendered: bool = True) -> Done:
    """The command in this process, its pictures small, or no pictures but the views' names."""
    out, err, status = StringIO(), StringIO(), 0
    small: Callable[..., bytes] = partial(picture_drilled, size=(480, 360))
    if not rendered:
        small = named
    with pytest.MonkeyPatch.context() as patch, redirect_stdout(out), redirect_stderr(err):
        patch.setattr(sys, "argv", ["corewright", *map(str, words)])
        patch.setattr(pipeline.drill_package, "picture_drilled", small)
        patch.setattr(pipeline.make, "picture", partial(picture, size=(480, 360)))
        try:
            main()
        except SystemExit as done:
            status = done.code if isinstance(done.code, int) else 0
    return Done(status, out.getvalue(), err.getvalue())


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def untimed(value: Any) -> Any:
    """Figures without how long their routes took."""
    if isinstance(value, dict):
        return {k: untimed(v) for k, v in value.items() if k != "seconds"}
    return [untimed(v) for v in value] if isinstance(value, list) else value


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with designs."""
    folder = tmp_path_factory.mktemp("drilling")
    for name, design in {
        "godwit": SMALL + DRILLING,
        "six": SMALL + SIX,
        "whole": SMALL,
        "grip": text(BARE),
    }.items():
        (folder / f"{name}.yaml").write_text(design, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def drilled(place: Path) -> tuple[Done, dict[str, bytes]]:
    done = run("drill", place / "godwit.yaml", "--out", place / "package")
    return done, contents(place / "package")


@pytest.fixture(scope="module")
def again(place: Path, drilled: tuple[Done, dict[str, bytes]]) -> tuple[Done, dict[str, bytes]]:
    """The same over the first one, its figures for machines."""
    assert drilled[0].status == 0
    done = run("drill", place / "godwit.yaml", "--out", place / "package", "--json")
    return done, contents(place / "package")


@pytest.fixture(scope="module")
def made(place: Path) -> tuple[Done, dict[str, bytes]]:
    """With the views' names for their pictures, which the package of `drilled` has."""
    done = run("make", place / "godwit.yaml", "--out", place / "made", rendered=False)
    return done, contents(place / "made")


@pytest.fixture(scope="module")
def weighed(place: Path) -> dict[str, Any]:
    done = run("weigh", place / "godwit.yaml", "--json")
    assert (done.status, done.err) == (0, "")
    found = json.loads(done.out)
    assert isinstance(found, dict)
    return found


@pytest.fixture(scope="module")
def broken(place: Path) -> Done:
    return run("check", place / "six.yaml", "--json")


@pytest.fixture(scope="module")
def mapped(place: Path) -> Done:
    return run(
        "layouts", place / "grip.yaml", "--out", place / "map", "--steps", "3x4", "--pin", "3:5",
        "--val", "1:4", "--json",
    )  # fmt: skip


def test_a_drilling_within_the_rules_exits_0(drilled: tuple[Done, dict[str, bytes]]) -> None:
    assert (drilled[0].status, drilled[0].err) == (0, "")


def test_drill_says_where_to_start(drilled: tuple[Done, dict[str, bytes]], place: Path) -> None:
    sheet = place / "package" / "drill-sheet.pdf"
    assert drilled[0].out.endswith(f"\nwrote {place / 'package'}; start with {sheet}\n")


def test_a_package_has_all_its_files(drilled: tuple[Done, dict[str, bytes]]) -> None:
    assert set(drilled[1]) == {*GEOMETRY, *PICTURES, *OWN, "design.yaml", "manifest.json"}


@pytest.mark.parametrize("name", sorted(PICTURES))
def test_pictures_are_pictures(drilled: tuple[Done, dict[str, bytes]], name: str) -> None:
    assert drilled[1][name].startswith(b"\x89PNG")


def test_pictures_differ(drilled: tuple[Done, dict[str, bytes]]) -> None:
    assert len({drilled[1][name] for name in PICTURES}) == len(PICTURES)


@pytest.mark.parametrize(
    ("name", "start"), [("drill-sheet.pdf", b"%PDF-"), ("drill-sheet.svg", b"<?xml")]
)
def test_the_sheet_comes_in_both_forms(
    drilled: tuple[Done, dict[str, bytes]], name: str, start: bytes
) -> None:
    assert drilled[1][name].startswith(start)


def test_the_figures_of_the_package_are_those_that_weigh_prints(
    drilled: tuple[Done, dict[str, bytes]], weighed: dict[str, Any]
) -> None:
    """But for the routes: the package holds all three, and what was taken."""
    found = json.loads(drilled[1]["figures.json"])
    assert [one["name"] for one in found.pop("taken")] == ["inner core", "cover"]
    assert set(found["routes"]) == {"columns", "boundary", "mesh"}
    due = untimed(weighed)
    found["routes"] = {"columns": found["routes"]["columns"]}
    assert found == due


def test_the_findings_of_the_package_are_those_on_a_drilled_ball(
    drilled: tuple[Done, dict[str, bytes]],
) -> None:
    found = json.loads(drilled[1]["findings.json"])["findings"]
    assert {one["rule"] for one in found} >= RULES


def test_the_manifest_names_every_other_file(drilled: tuple[Done, dict[str, bytes]]) -> None:
    manifest = json.loads(drilled[1]["manifest.json"])
    assert {row["name"] for row in manifest["files"]} == set(drilled[1]) - {"manifest.json"}


def test_every_comparison_of_the_manifest_passed(drilled: tuple[Done, dict[str, bytes]]) -> None:
    rows = json.loads(drilled[1]["manifest.json"])["comparisons"]
    assert rows
    assert [row for row in rows if not row["passed"]] == []


def test_the_design_is_in_the_package(drilled: tuple[Done, dict[str, bytes]]) -> None:
    assert drilled[1]["design.yaml"].decode() == SMALL + DRILLING


@pytest.mark.parametrize("name", sorted(PICTURES | {"drill-sheet.pdf", "drill-sheet.svg"}))
def test_the_letter_names_sheet_and_pictures(
    drilled: tuple[Done, dict[str, bytes]], name: str
) -> None:
    assert f"`{name}`" in drilled[1]["README.md"].decode()


def test_the_same_drilling_gives_the_same_bytes(
    drilled: tuple[Done, dict[str, bytes]], again: tuple[Done, dict[str, bytes]]
) -> None:
    assert {k for k in drilled[1] if again[1].get(k) != drilled[1][k]} == set()


def test_drill_prints_figures_for_machines(
    again: tuple[Done, dict[str, bytes]], weighed: dict[str, Any]
) -> None:
    found = json.loads(again[0].out)
    assert (again[0].status, found["rg_in"]) == (0, weighed["rg_in"])


def test_make_puts_what_a_driller_is_handed_into_a_folder_of_its_own(
    made: tuple[Done, dict[str, bytes]],
) -> None:
    below = {name.partition("/")[2] for name in made[1] if name.startswith("drilled/")}
    assert below == {*GEOMETRY, *PICTURES, *OWN}


def test_that_folder_holds_what_drill_writes(
    made: tuple[Done, dict[str, bytes]], drilled: tuple[Done, dict[str, bytes]]
) -> None:
    below = {*GEOMETRY, *OWN, "axis-map.png", "pin-map.png"}
    assert {k for k in below if made[1].get(f"drilled/{k}") != drilled[1][k]} == set()


def test_make_keeps_the_ball_before_it_is_drilled_beside_it(
    made: tuple[Done, dict[str, bytes]], weighed: dict[str, Any]
) -> None:
    found = json.loads(made[1]["figures.json"])
    assert found["mass_lb"] == weighed["undrilled"]["mass_lb"]


def test_the_manifest_of_make_names_the_drilled_files_too(
    made: tuple[Done, dict[str, bytes]],
) -> None:
    manifest = json.loads(made[1]["manifest.json"])
    assert {row["name"] for row in manifest["files"]} == set(made[1]) - {"manifest.json"}


def test_make_prints_the_rules_on_both_balls(made: tuple[Done, dict[str, bytes]]) -> None:
    assert (made[0].status, made[0].err) == (0, "")
    assert "gripping holes" in made[0].out


def test_weigh_gives_the_drilled_ball_with_the_ball_before(weighed: dict[str, Any]) -> None:
    assert 0.0 < weighed["mass_lb"] < weighed["undrilled"]["mass_lb"]
    assert [one["name"] for one in weighed["drilling"]["holes"]] == ["thumb", "middle"]


def test_weigh_of_a_ball_without_holes_has_no_drilling(place: Path) -> None:
    found = json.loads(run("weigh", place / "whole.yaml", "--json").out)
    assert not {"drilling", "undrilled"} & set(found)


def test_a_rule_that_is_broken_exits_1(broken: Done) -> None:
    assert broken.status == 1


def test_drill_exits_1_for_a_broken_rule_and_writes_its_folder(place: Path) -> None:
    done = run("drill", place / "six.yaml", "--out", place / "six", rendered=False)
    assert done.status == 1
    assert (place / "six" / "drill-sheet.pdf").is_file()


def test_check_holds_the_rules_on_a_drilled_ball(broken: Done) -> None:
    verdicts = {one["rule"]: one["verdict"] for one in json.loads(broken.out)["findings"]}
    assert set(verdicts) >= RULES
    assert verdicts["gripping holes"] == "fail"


def test_check_still_holds_the_rules_on_the_ball_before(broken: Done) -> None:
    rules = [one["rule"] for one in json.loads(broken.out)["findings"]]
    assert "weight" in rules
    assert len(rules) == len(set(rules))


def test_layouts_prints_its_map_for_machines(mapped: Done) -> None:
    found = json.loads(mapped.out)
    assert (mapped.status, mapped.err) == (0, "")
    assert found["pin_to_axis_point_in"] == [3.0, 4.0, 5.0]
    assert found["figures"]["mass [lb]"][0][3] is None


def test_layouts_writes_its_folder(mapped: Done, place: Path) -> None:
    assert mapped.status == 0
    assert len((place / "map" / "layouts.csv").read_text("utf-8").splitlines()) == 1 + 12


def test_layouts_says_how_many_and_how_exactly(place: Path) -> None:
    done = run(
        "layouts", place / "grip.yaml", "--out", place / "told", "--steps", "2", "--pin", "3:5",
        "--val", "1:2",
    )  # fmt: skip
    assert done.status == 0
    assert done.out.startswith("weighed 4 layouts of 4, RGs within ")
    assert done.out.endswith(f"; wrote {place / 'told'}\n")


@pytest.mark.parametrize("word", ["drill", "layouts"])
def test_a_folder_that_holds_something_else_is_refused(word: str, place: Path) -> None:
    target = place / f"mine-{word}"
    target.mkdir()
    (target / "notes.txt").write_text("mine", encoding="utf-8")
    done = run(word, place / "grip.yaml", "--out", target)
    assert (done.status, done.out) == (2, "")
    assert str(target) in done.err
    assert [path.name for path in target.iterdir()] == ["notes.txt"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["drill", "whole.yaml"], "the design has no drilling section"),
        (["drill", "absent.yaml"], "there is no such file"),
        (["drill", "godwit.yaml", "--paper", "a5"], "--paper: there is no 'a5'"),
        (["layouts", "whole.yaml"], "needs a drilling with a grip"),
        (["layouts", "godwit.yaml"], "needs a drilling with a grip"),
        (["layouts", "grip.yaml", "--steps", "many"], "--steps: 'many' are no two counts"),
        (["layouts", "grip.yaml", "--steps", "1x9"], "1 x 9 layouts"),
        (["layouts", "grip.yaml", "--pin", "3"], "--pin: '3' is no range"),
        (["layouts", "grip.yaml", "--val", "4:1"], "--val: from 4 to 1 in is no range"),
        (["layouts", "grip.yaml", "--workers", "-1"], "at least 1"),
        (["picture", "whole.yaml", "--view", "drilled"], "Godwit is not drilled"),
        (["picture", "whole.yaml", "--view", "pin-map"], "Godwit is not drilled"),
        (["picture", "godwit.yaml", "--view", "drilt"], "drilled, bored, taken, rings"),
    ],
)
def test_what_cannot_be_used_exits_2_and_writes_nothing(
    place: Path, words: list[str], says: str
) -> None:
    word, file, *more = words
    target = place / ("none.png" if word == "picture" else "none")
    done = run(word, place / file, "--out", target, *more)
    assert (done.status, done.out) == (2, "")
    assert says in done.err
    assert not target.exists()


def test_a_design_whose_layout_cannot_be_exits_2(place: Path) -> None:
    """An asymmetrical ball needs its mark."""
    file = place / "unmarked.yaml"
    file.write_text(text(BARE, UNEVEN), encoding="utf-8")
    done = run("drill", file, "--out", place / "none")
    assert done.status == 2
    assert "asymmetrical" in done.err


def test_a_picture_of_a_map_is_written(place: Path) -> None:
    target = place / "pin.png"
    done = run("picture", place / "grip.yaml", "--view", "pin-map", "--out", target)
    assert (done.status, done.out) == (0, f"wrote {target}\n")
    assert target.read_bytes().startswith(b"\x89PNG")


def test_a_hole_that_comes_out_is_told_with_exit_1(place: Path) -> None:
    file = place / "through.yaml"
    file.write_text(
        SMALL + swapped(DRILLING, ("diameter: 5, depth: 14", "diameter: 5, depth: 50")),
        encoding="utf-8",
    )
    done = run("check", file)
    assert done.status == 1
    assert "out through the side: thumb" in done.out
