"""What a dossier tells, held against the commands, against closed forms, and against itself."""

from __future__ import annotations

import base64
import hashlib
import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from typer.testing import CliRunner

from pipeline.ball import build_ball
from pipeline.cli import app
from pipeline.dossier.changed import earlier_of
from pipeline.dossier.contents import MESH_MM, Contents, contents
from pipeline.load import load, read_design
from pipeline.report import SIGNS
from shapes.moments import Array, Moments
from tests.pipeline.dossier.told_balls import GRIP, LEANING, TEXTS, Data, found
from tests.pipeline.drilled_text import HOLE, UNEVEN, holes, text
from tests.pipeline.sphere_balls import IN, LB, SPHERES, foam, mass_g, swapped

ROOT = Path(__file__).parents[3]
DEEP = "Reed beds/Glasswort flat/saltmarsh, 7"  # a folder that no design names
NARROW = swapped(SPHERES, ("from: 0.55, to: 1.60", "from: 0.9, to: 1.3"))
DRILLING = f"format: corewright drilling 1\ndesign: ball.yaml\nunits: in\ndrilling:\n{GRIP}"
WAYS = np.eye(3)


def said(*words: str) -> Data:
    """What a command prints for machines."""
    done = CliRunner().invoke(app, [*words, "--json"])
    assert done.exit_code in (0, 1), done.output
    printed: Data = json.loads(done.output)
    return printed


def filed(folder: Path, name: str, source: str) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / name
    file.write_bytes(source.encode())
    return file


def told(file: Path) -> Data:
    return contents(build_ball(load(file))).data


def untimed(routes: Data) -> Data:
    return {
        name: {key: value for key, value in route.items() if key != "seconds"}
        for name, route in routes.items()
    }


def without(figures: Data, *keys: str) -> Data:
    return {key: value for key, value in figures.items() if key not in keys}


@pytest.fixture(scope="module")
def two_files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A ball's file and, beside it, that of its holes."""
    folder = tmp_path_factory.mktemp("two") / DEEP
    filed(folder, "ball.yaml", text("", UNEVEN))
    return filed(folder, "holes.yaml", DRILLING)


@pytest.fixture(scope="module")
def drilled(two_files: Path) -> Data:
    return told(two_files)


# --- against the commands


@pytest.mark.parametrize("name", ["spheres", "leaning", "bored"])
def test_figures_are_those_of_weigh_digit_for_digit(name: str, tmp_path: Path) -> None:
    due = said("weigh", str(filed(tmp_path, "design.yaml", TEXTS[name])))
    figures = found(name).data["figures"]
    keys = ("routes", "undrilled")
    assert json.dumps(without(figures, *keys)) == json.dumps(without(due, *keys))
    first = next(iter(due["routes"]))
    assert next(iter(figures["routes"])) == first
    assert untimed(due["routes"])[first] == figures["routes"][first]


def test_figures_of_a_drilling_in_a_file_of_its_own_are_those_of_weigh(
    two_files: Path, drilled: Data
) -> None:
    due, figures = said("weigh", str(two_files)), drilled["figures"]
    assert json.dumps(without(figures, "routes", "undrilled")) == json.dumps(
        without(due, "routes", "undrilled")
    )
    before = due["undrilled"] | {"routes": untimed(due["undrilled"]["routes"])}
    assert json.dumps(figures["undrilled"]) == json.dumps(before)


def test_the_ball_before_drilling_is_told_as_its_own_file_tells_it(
    two_files: Path, drilled: Data
) -> None:
    alone = said("weigh", str(two_files.parent / "ball.yaml"))
    before = drilled["figures"]["undrilled"]
    assert without(before, "routes") == without(alone, "routes")


@pytest.fixture(scope="module")
def checked(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Data]:
    """What `check` prints of one of `TEXTS`; its mesh, which is not held here, is a coarse one."""

    @cache
    def printed(name: str) -> Data:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr("shapes.facets.CHORD_MM", 1.0)
            patch.setattr("shapes.facets.ANGLE_RAD", 0.5)
            folder = tmp_path_factory.mktemp("checked")
            return said("check", str(filed(folder, "design.yaml", TEXTS[name])))

    return printed


@pytest.mark.parametrize("name", ["spheres", "leaning"])
def test_the_solids_give_what_check_has_of_them(name: str, checked: Callable[[str], Data]) -> None:
    due = checked(name)["routes"]
    routes = found(name).data["figures"]["routes"]
    assert list(routes) == list(due)
    for route in ("moments", "boundary"):  # the mesh is a coarser one
        assert routes[route] == untimed(due)[route]


def test_no_route_says_how_long_it_took(drilled: Data) -> None:
    for figures in (drilled["figures"], drilled["figures"]["undrilled"]):
        assert all("seconds" not in route for route in figures["routes"].values())


@pytest.mark.parametrize("name", ["spheres", "leaning", "gripped", "bored"])
def test_findings_are_those_of_check(name: str, checked: Callable[[str], Data]) -> None:
    due, data = checked(name), found(name).data
    assert [without(row, "least", "most") for row in data["findings"]] == due["findings"]
    assert (data["note"], data["limits_as_of"]) == (due["note"], due["limits_as_of"])


def test_the_ends_of_what_is_allowed_are_those_that_the_limit_says() -> None:
    for row in found("spheres").data["findings"]:
        ends = [row[key] for key in ("least", "most") if row[key] is not None]
        if " within " not in row["limit"]:
            assert all(f"{end:g}" in row["limit"] for end in ends), row["rule"]
        if row["margin"] is not None and row["value"] is not None:
            away = [abs(row["value"] - end) for end in ends]
            assert min(away) == pytest.approx(abs(row["margin"]), abs=2e-9), row["rule"]


def test_the_line_is_that_of_lineup(tmp_path: Path) -> None:
    file = filed(tmp_path, "design.yaml", NARROW)
    due = said("lineup", str(file), "--out", str(tmp_path / "line"))
    line = told(file)["line"]
    for row in due["weights"]:
        row["why"] = row["why"] and row["why"].replace(f"{file}: ", "")
    assert line == due


def test_the_routes_agree_and_the_mesh_is_the_one_that_is_told() -> None:
    for name in ("spheres", "leaning", "gripped"):
        data = found(name).data
        assert data["routes_disagree"] == []
        assert data["mesh"]["chord_mm"] == MESH_MM[0]
        assert data["mesh"]["triangles"] > 100


# --- the tensor about the ball's centre


def inertia_lb_in2(parts: list[tuple[float, Moments]]) -> Array:
    """From densities, g/cm3, and moments about the ball's centre: I = sum d (tr C 1 - C)."""
    total = sum((d / 1000.0 * m.second_mm5 for d, m in parts), np.zeros((3, 3)))
    return np.asarray((np.trace(total) * np.eye(3) - total) / (LB * IN**2))


def shown_parts(told_of: Contents) -> list[tuple[float, Moments]]:
    return [(part.density_g_cm3, part.claimed) for part in told_of.shown.parts]


@pytest.mark.parametrize("name", ["spheres", "leaning", "gripped", "bored", "crossed"])
def test_the_tensor_about_the_balls_centre_adds_up_from_the_parts_own_moments(name: str) -> None:
    data = found(name).data
    due = inertia_lb_in2(shown_parts(found(name)))
    rg = data["figures"]["error_bound"]["rg_in"]
    within = 2.0 * data["figures"]["mass_lb"] * data["figures"]["rg_in"]["high"] * rg
    assert data["about_ball_centre_lb_in2"] == pytest.approx(due, abs=max(within, 1e-6))


@pytest.mark.parametrize("name", ["leaning", "gripped", "bored"])
def test_both_tensors_keep_to_the_theorem_of_parallel_axes(name: str) -> None:
    """About the line through both centres they are one; their traces differ by twice m d^2."""
    data = found(name).data
    figures = data["figures"]
    own = np.array(figures["inertia_lb_in2"])
    centre = np.array(data["about_ball_centre_lb_in2"])
    d = np.array(figures["centre_of_gravity_in"])
    digits = 3e-5  # of the tensors' last digit, some times over
    assert np.trace(centre - own) == pytest.approx(2.0 * figures["mass_lb"] * d @ d, abs=digits)
    assert d @ centre @ d == pytest.approx(d @ own @ d, abs=digits)
    assert np.allclose(centre, centre.T, rtol=0.0, atol=0.0)


@pytest.mark.parametrize("name", ["leaning", "gripped"])
def test_the_rgs_about_the_balls_centre_are_those_of_its_tensor(name: str) -> None:
    data = found(name).data
    figures = data["figures"]
    due = np.sqrt(np.linalg.eigvalsh(data["about_ball_centre_lb_in2"]) / figures["mass_lb"])
    radii = list(figures["about_ball_centre"]["rg_in"].values())
    assert radii == pytest.approx(due, abs=3e-6)


def test_the_tensor_of_spheres_on_an_axis_is_that_of_the_closed_form() -> None:
    """2/5 m R^2 each, and m z^2 across the axis (Marks' Handbook, from memory)."""
    solved = foam(mass_g(2.0, 2.0) + mass_g(1.0, 0.75), 2.0)
    spheres = [(1.17, 4.275, 0.0), (solved - 1.17, 3.5, 0.0), (2.0 - solved, 2.0, 0.0),
               (1.0, 0.75, 1.0)]  # fmt: skip
    own = sum(0.4 * mass_g(d, r) * r**2 for d, r, _ in spheres) / LB
    across = own + sum(mass_g(d, r) * z**2 for d, r, z in spheres) / LB
    tensor = found("spheres").data["about_ball_centre_lb_in2"]
    assert tensor == pytest.approx(np.diag([across, across, own]), abs=2e-6)


# --- no place of the machine, and the same every time


def strings(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for key, one in value.items():
            yield key
            yield from strings(one)
    elif isinstance(value, list):
        for one in value:
            yield from strings(one)
    elif isinstance(value, str):
        yield value


def places_of(folder: Path) -> set[str]:
    """Pieces of paths that no dossier may hold."""
    return {
        *DEEP.split("/"), folder.name, str(folder.parent), str(Path.home()), str(ROOT),
        "design.yaml", "/tmp",
    }  # fmt: skip


@pytest.mark.parametrize("name", ["spheres", "leaning", "gripped", "cast"])
def test_a_design_tells_the_same_from_any_folder_and_from_none(name: str, tmp_path: Path) -> None:
    file = filed(tmp_path / DEEP, "design.yaml", TEXTS[name])
    again = told(file)
    assert json.dumps(again) == json.dumps(found(name).data)
    for one in strings(again):
        assert not [place for place in places_of(tmp_path) if place in one]


def test_a_weight_that_cannot_be_made_is_told_without_the_files_place(tmp_path: Path) -> None:
    line = told(filed(tmp_path / DEEP, "design.yaml", NARROW))["line"]
    why = [row["why"] for row in line["weights"] if row["why"]]
    assert len(why) >= 2
    for one in why:
        assert not [place for place in places_of(tmp_path) if place in one]
        assert one.startswith("materials.foam: ")


def test_a_weight_that_cannot_be_made_is_told_without_the_place_of_the_drilled_balls_file(
    tmp_path: Path,
) -> None:
    filed(tmp_path / DEEP, "ball.yaml", NARROW)
    hole = f"format: corewright drilling 1\ndesign: ball.yaml\nunits: in\ndrilling:\n{holes(HOLE)}"
    line = told(filed(tmp_path / DEEP, "holes.yaml", hole))["line"]
    why = [row["why"] for row in line["weights"] if row["why"]]
    assert len(why) >= 2
    assert all(one.startswith("materials.foam: ") for one in why)


def test_a_drilling_in_a_file_of_its_own_tells_nothing_of_its_folder(
    two_files: Path, drilled: Data, tmp_path: Path
) -> None:
    root = two_files.parents[len(DEEP.split("/"))]
    for one in strings(drilled):
        assert not [place for place in places_of(root) if place in one]
    filed(tmp_path, "ball.yaml", text("", UNEVEN))
    assert told(filed(tmp_path, "other name.yaml", DRILLING)) == drilled


def test_another_process_tells_the_same_bytes(tmp_path: Path) -> None:
    """With other hashes of words, from another folder."""
    file = filed(tmp_path, "design.yaml", TEXTS["bored"])
    code = (
        "import json, sys\n"
        "from pipeline.ball import build_ball\n"
        "from pipeline.dossier.contents import contents\n"
        "from pipeline.load import load\n"
        "sys.stdout.write(json.dumps(contents(build_ball(load(sys.argv[1]))).data))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, file.name],
        capture_output=True,
        text=True,
        check=True,
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": "4711", "PYTHONUTF8": "1"},
    )
    assert done.stdout == json.dumps(found("bored").data)


def test_data_are_plain_and_come_back_from_json_as_they_were() -> None:
    for name in TEXTS:
        data = found(name).data
        assert json.loads(json.dumps(data, allow_nan=False)) == data


# --- the design in the data


def test_the_design_in_the_data_makes_the_same_data_again(drilled: Data, tmp_path: Path) -> None:
    """As a reviewer does who has nothing else."""
    design = drilled["design"]
    for one in design["files"]:
        (tmp_path / one["name"]).write_bytes(base64.b64decode(one["base64"]))
    again = told(filed(tmp_path, "design.yaml", design["source"]))
    assert again == drilled


def test_hashes_are_of_the_bytes_of_the_files(two_files: Path, drilled: Data) -> None:
    design = drilled["design"]
    digest = hashlib.sha256(two_files.read_bytes()).hexdigest()
    assert (design["sha256"], hashlib.sha256(design["source"].encode()).hexdigest()) == (
        digest, digest,
    )  # fmt: skip
    ball = (two_files.parent / "ball.yaml").read_bytes()
    assert [(one["name"], one["sha256"]) for one in design["files"]] == [
        ("ball.yaml", hashlib.sha256(ball).hexdigest())
    ]


@pytest.mark.parametrize("end", ["\r\n", "\n"])
def test_a_files_ends_of_lines_are_kept(end: str, tmp_path: Path) -> None:
    file = filed(tmp_path, "design.yaml", TEXTS["bored"].replace("\n", end))
    design = contents(build_ball(load(file))).data["design"]
    assert hashlib.sha256(design["source"].encode()).hexdigest() == design["sha256"]


def test_parts_are_told_as_they_were_asked_for() -> None:
    rows = found("spheres").data["design"]["parts"]
    assert [(row["name"], row["role"], row["shape"], row["density"]) for row in rows] == [
        ("slug", "inner core", "sphere", "given"),  # see `sphere_balls`
        ("inner core", "outer core", "sphere", "given"),
        ("outer core", "outer core", "sphere", "solved"),
        ("cover", "cover", "sphere", "given"),
    ]
    design = found("leaning").data["design"]
    assert (design["parts"][0]["note"], design["notes"]) == ("It leans.", ["The core leans."])


def test_size_and_weight_are_those_asked_for() -> None:
    sizes = {
        name: tuple(found(name).data["design"][key] for key in ("diameter_in", "weight_lb"))
        for name in ("spheres", "leaning")
    }
    assert sizes == {"spheres": (8.55, 15.0), "leaning": (8.55, None)}


# --- what a design does not have


HAS = {
    "uniform": set(),
    "spheres": {"line"},
    "leaning": set(),
    "crossed": set(),
    "cast": {"line", "tooling"},
    "gripped": {"drilling"},
    "bored": {"drilling"},
}


@pytest.mark.parametrize("name", list(HAS))
def test_what_a_design_does_not_have_is_not_told(name: str) -> None:
    data = found(name).data
    told_of: dict[str, Any] = data | data["figures"]
    has = {key for key in ("line", "tooling", "changed", "drilling") if key in told_of}
    assert has == HAS[name]
    assert ("undrilled" in data["figures"]) == ("drilling" in has)


def test_a_ball_with_all_densities_given_has_no_line() -> None:
    given = swapped(SPHERES, ("density: free, from: 0.55, to: 1.60", "density: 0.9"))
    data = contents(build_ball(read_design(given))).data
    assert "line" not in data


def test_an_earlier_dossier_makes_changes_and_nothing_else_differs() -> None:
    first = found("bored").data
    again = contents(build_ball(read_design(TEXTS["bored"])), earlier_of(first)).data
    assert again.pop("changed")["rows"] == []
    assert again == first


def test_what_is_handed_on_for_pictures_is_of_the_same_ball() -> None:
    gripped, leaning = found("gripped"), found("leaning")
    assert gripped.drilled is not None
    assert gripped.shown.bores
    assert not gripped.ball.bores
    assert leaning.shown.parts is leaning.ball.parts
    assert (leaning.drilled, leaning.tooling) == (None, None)
    names = [part.name for part in gripped.shown.parts]
    assert [one.part.name for one in gripped.solids] == names
    assert [part["name"] for part in gripped.data["figures"]["parts"]] == [*names[1:], names[0]]


def test_verdicts_are_of_the_three_that_have_signs() -> None:
    for name in ("gripped", "cast"):
        data = found(name).data
        rows = [*data["findings"], *data.get("tooling", {}).get("findings", [])]
        assert {row["verdict"] for row in rows} <= set(SIGNS)


def test_checks_of_castings_name_a_casting_or_the_ball() -> None:
    tooling = found("cast").data["tooling"]
    castings = {one["name"] for one in tooling["castings"]}
    assert {row["casting"] for row in tooling["findings"]} <= castings | {"ball"}
    assert all("picture" not in row for row in tooling["findings"])


def test_an_axis_of_the_leaning_ball_is_told_as_it_stands() -> None:
    """The core leans by 12 degrees towards 200; the shell round it turns nothing."""
    low = found("leaning").data["axes"][0]
    assert low["from_z_deg"] == pytest.approx(12.0, abs=2.0)
    assert low["azimuth_deg"] == pytest.approx(200.0, abs=10.0)
    assert LEANING.count("by: 12, toward: 200") == 1
