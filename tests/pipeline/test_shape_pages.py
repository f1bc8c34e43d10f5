"""The list of shapes and the page of one."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from pipeline.effects import trial
from pipeline.shape_pages import (
    UnknownShape,
    listing,
    listing_as_figures,
    page,
    page_as_figures,
    word_of,
)
from shapes.registry import FAMILIES

ROOT = Path(__file__).parents[2]


def test_the_list_names_every_family_and_parameter() -> None:
    text = listing()
    for word in FAMILIES:
        assert f"\n  {word} " in f"\n{text}"
    assert "scallop_diameter" in text
    assert [s["shape"] for s in listing_as_figures()["shapes"]] == list(FAMILIES)


@pytest.mark.parametrize("words", [["shapes"], ["shapes", "lobed"], ["shapes", "flared", "--json"]])
def test_neither_kernel_nor_renderer_is_loaded(words: list[str]) -> None:
    code = (
        f"import sys; sys.argv = ['corewright', *{words!r}]\n"
        "from pipeline.cli import app\n"
        "app(standalone_mode=False)\n"
        "loaded = {'OCP', 'cadquery', 'vtkmodules', 'pyvista', 'trimesh'} & set(sys.modules)\n"
        "sys.exit(str(loaded) if loaded else 0)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=False
    )
    assert done.returncode == 0, done.stderr


def test_a_page_tells_parameters_parting_figures_and_effects() -> None:
    text = page("flats")
    assert "flats cut along its sides" in text
    assert "from_axis" in text
    assert "44 mm unless given" in text
    assert "parts along" in text or "parts square to" in text
    assert "low RG 2.5" in text
    assert "count 1 more" in text


def test_the_page_for_machines_has_the_figures_of_the_trial() -> None:
    found = json.loads(json.dumps(page_as_figures("box")))
    tried = trial("box")
    assert found["low_rg_in"] == pytest.approx(
        float(tried.properties.principal.rg_mm[0]) / 25.4, abs=1e-6
    )
    assert [e["parameter"] for e in found["effects"]] == ["size x", "size y", "size z", "round"]
    assert found["parting"]["normal"] == [0.0, 0.0, 1.0]
    assert found["stands_as"] == "inner core"


def test_an_unknown_shape_is_told_the_nearest() -> None:
    with pytest.raises(UnknownShape, match="did you mean 'sphere'"):
        word_of("sphre")
