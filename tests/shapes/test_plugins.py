"""Families that an installed package adds, the sound and the unsound, without installing any."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from math import asin, pi
from pathlib import Path

import pytest

from shapes import plugins
from shapes.boundary import moments_of_solid
from shapes.errors import ShapeError
from shapes.registry import FAMILIES
from tests.pipeline.test_cli import corewright

EXAMPLE = Path(__file__).parents[1] / "plugin_example"
Install = Callable[..., None]


def write_package(folder: Path, name: str, entries: str, code: str = "", module: str = "") -> None:
    """What an installer leaves in a folder of packages."""
    info = folder / f"{name.replace('-', '_')}-1.0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {name}\nVersion: 1.0\n")
    (info / "entry_points.txt").write_text(f"[{plugins.GROUP}]\n{entries}\n")
    if module:
        (folder / f"{module}.py").write_text(code)


@pytest.fixture
def install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Install]:
    monkeypatch.syspath_prepend(tmp_path)
    forget()
    yield lambda *words, **more: write_package(tmp_path, *words, **more)
    forget()


def forget() -> None:
    plugins._entries.cache_clear()
    plugins._added.cache_clear()


def spindle_volume_mm3(diameter: float, length: float) -> float:
    """2 pi (R^2 h - h^3 / 3 - c R^2 asin(h / R)), the lemon of Weisstein's MathWorld; from memory.

    h is half the length, R the arc's radius, c how far its centre lies beyond the axis.
    """
    h, middle = length / 2, diameter / 2
    radius = (h * h + middle * middle) / (2 * middle)
    c = radius - middle
    return 2 * pi * (radius**2 * h - h**3 / 3 - c * radius**2 * asin(h / radius))


def install_example(install: Install, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(EXAMPLE)
    install("saltmarsh-spindle", "spindle = saltmarsh_spindle:Spindle")


@pytest.mark.usefixtures("install")
def test_without_packages_there_are_the_families_of_our_own() -> None:
    assert plugins.words() == tuple(FAMILIES)
    assert plugins.added() == ()


def test_an_added_family_weighs_as_its_closed_form_and_its_solid(
    install: Install, monkeypatch: pytest.MonkeyPatch
) -> None:
    install_example(install, monkeypatch)
    assert plugins.words()[-1] == "spindle"
    shape = plugins.family_of("spindle").typical()
    due = spindle_volume_mm3(90.0, 140.0)
    assert shape.moments().volume_mm3 == pytest.approx(due, rel=1e-13)
    assert moments_of_solid(shape.solid()).volume_mm3 == pytest.approx(due, rel=1e-12)


GOOD = """
from dataclasses import dataclass
from typing import Annotated
from shapes.cylinder import Cylinder
from shapes.parameters import Parameter
from shapes.shape import Shape

@dataclass(frozen=True)
class Good(Cylinder):
    '''A cylinder again.'''

@dataclass
class Loose(Shape):
    '''Abstract.'''
    size: Annotated[float, Parameter('length', 'x')] = 1.0

class Melting(Cylinder):
    '''Its own class is no dataclass, but inherits one that is frozen.'''

@dataclass(frozen=True)
class Bare(Cylinder):
    '''A field without a Parameter.'''
    more: float = 2.0

@dataclass(frozen=True)
class Strange(Cylinder):
    '''A kind that no file can say.'''
    of: Annotated[object, Parameter('shape', 'x')] = None

@dataclass(frozen=True)
class Empty(Cylinder):
    '''No default and nothing typical.'''
    size: Annotated[float, Parameter('length', 'x', above=0.0, typical=-1.0)] = -1.0
"""


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        ("good = absent_module:Good", "No module named 'absent_module'"),
        ("good = good_module:Absent", "AttributeError"),
        ("good = good_module:GOOD", "AttributeError"),
        ("good = good_module:dataclass", "no subclass of shapes.shape.Shape"),
        ("good = good_module:Loose", "leaves out contains, moments, reach_mm"),
        ("good = good_module:Bare", "annotated with one Parameter"),
        ("good = good_module:Strange", "no value for of (shape)"),
        ("good = good_module:Empty", "its defaults make no body"),
        ("Good = good_module:Good", "small letters"),
        ("sphere = good_module:Good", "a family of Corewright's own"),
    ],
)
def test_an_unsound_package_is_named_and_harms_nothing_else(
    install: Install, entry: str, says: str
) -> None:
    install("odd", entry, code=GOOD, module="good_module")
    (found,) = plugins.added()
    assert says in found.fault
    assert found.package == "odd 1.0"
    assert plugins.family_of("sphere") is FAMILIES["sphere"]
    if found.word != "sphere":
        with pytest.raises(ShapeError, match=r"which odd 1\.0 adds, cannot be used"):
            plugins.family_of(found.word)


def test_two_packages_with_one_word_are_both_refused(install: Install) -> None:
    install("one", "good = good_module:Good", code=GOOD, module="good_module")
    install("two", "good = good_module:Good")
    assert plugins.words().count("good") == 1
    assert ["adds the same word" in found.fault for found in plugins.added()] == [True, True]
    with pytest.raises(ShapeError, match=r"two 1\.0"):
        plugins.family_of("good")


DESIGN = """\
format: corewright 1
name: Godwit
revision: A
units: mm
ball: {{diameter: 217.17, weight: 6800 g}}
materials: {{dense: {{density: 2.4}}, light: {{density: free, from: 0.5, to: 1.6}}}}
parts:
  - {{name: inner core, material: dense, shape: {shape}}}
  - {{name: cover, material: light, shape: sphere, diameter: 217.17}}
"""


@pytest.fixture
def with_packages(tmp_path: Path) -> dict[str, str]:
    """The environment of a process for which the example and a broken package are installed."""
    folder = tmp_path / "packages"
    folder.mkdir()
    write_package(folder, "saltmarsh-spindle", "spindle = saltmarsh_spindle:Spindle")
    write_package(folder, "broken", "broken = absent_module:Broken")
    root = str(Path(__file__).parents[2])
    return {"PYTHONPATH": ":".join([root, str(folder), str(EXAMPLE)])}


def test_a_design_uses_an_added_family_beside_a_broken_one(
    tmp_path: Path, with_packages: dict[str, str]
) -> None:
    path = tmp_path / "godwit.yaml"
    path.write_text(DESIGN.format(shape="spindle, diameter: 80, length: 120"), encoding="utf-8")
    done = corewright("weigh", str(path), "--json", env=with_packages)
    assert done.returncode == 0, done.stderr
    core = json.loads(done.stdout)["parts"][0]
    assert core["volume_in3"] == pytest.approx(spindle_volume_mm3(80, 120) / 25.4**3, rel=1e-6)


def test_a_design_that_asks_for_a_broken_family_is_told_the_package(
    tmp_path: Path, with_packages: dict[str, str]
) -> None:
    path = tmp_path / "godwit.yaml"
    path.write_text(DESIGN.format(shape="broken"), encoding="utf-8")
    done = corewright("weigh", str(path), env=with_packages)
    assert done.returncode == 2
    assert f"{path}:8: parts[0].shape" in done.stderr
    assert "broken 1.0" in done.stderr
    assert "absent_module" in done.stderr


def test_the_list_of_shapes_has_the_sound_one_and_the_fault_of_the_other(
    with_packages: dict[str, str],
) -> None:
    done = corewright("shapes", env=with_packages)
    assert done.returncode == 0
    assert "spindle" in done.stdout
    assert "(from saltmarsh-spindle 1.0)" in done.stdout
    assert "! broken" in done.stdout
    told = json.loads(corewright("shapes", "--json", env=with_packages).stdout)
    assert told["unusable"][0]["from"] == "broken 1.0"
    assert told["shapes"][-1]["from"] == "saltmarsh-spindle 1.0"


def test_the_page_of_an_added_family_tells_its_effects(with_packages: dict[str, str]) -> None:
    done = corewright("shapes", "spindle", env=with_packages)
    assert done.returncode == 0, done.stderr
    assert "length 0.1 in more" in done.stdout
