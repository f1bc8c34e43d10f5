"""The JSON contract: names, units, nulls, and no digit more than is sure."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.figures import figures
from pipeline.load import load
from pipeline.prove import first_route
from pipeline.shipped import shipped


def figures_of(name: str, *, timed: bool = True) -> dict[str, Any]:
    ball = build_ball(load(shipped(name)))
    route = first_route(ball)
    return figures(ball, route.properties, [route], timed=timed)


def test_every_name_of_the_contract_is_there() -> None:
    found = figures_of("turnstone")
    assert set(found["design"]) == {"name", "revision", "sha256"}
    assert {
        "mass_lb", "centre_of_gravity_in", "inertia_lb_in2", "rg_in", "total_differential_in",
        "intermediate_differential_in", "about_ball_centre", "axes", "symmetry", "pin_to_cg_in",
        "top_weight_oz", "parts", "error_bound", "routes",
    } <= set(found)  # fmt: skip
    assert set(found["rg_in"]) == set(found["axes"]) == {"low", "intermediate", "high"}
    assert set(found["parts"][0]) == {
        "name", "material", "density_g_cm3", "volume_in3", "mass_lb",
    }  # fmt: skip
    assert set(found["error_bound"]) == {"mass_lb", "rg_in"}
    assert set(found["routes"]["moments"]) >= {"rg_in", "seconds"}


def test_undefined_axes_are_null() -> None:
    axes = figures_of("dunlin")["axes"]
    assert axes == {"low": [0.0, 0.0, 1.0], "intermediate": None, "high": None}


def test_tensor_and_rgs_say_the_same() -> None:
    """RG = sqrt(I / m), straight from the printed numbers."""
    found = figures_of("turnstone")
    rg = np.sqrt(np.linalg.eigvalsh(np.array(found["inertia_lb_in2"])) / found["mass_lb"])
    assert rg == pytest.approx(
        [found["rg_in"][k] for k in ("low", "intermediate", "high")], abs=3e-7
    )


def test_parts_add_up_to_the_ball() -> None:
    found = figures_of("godwit")
    assert sum(part["mass_lb"] for part in found["parts"]) == pytest.approx(15.0, abs=5e-6)
    for part in found["parts"]:
        grams = part["density_g_cm3"] * part["volume_in3"] * 16.387064
        assert part["mass_lb"] == pytest.approx(grams / 453.59237, abs=2e-6)


def test_no_more_decimals_than_the_bound_defends() -> None:
    found = figures_of("dunlin")
    decimals = max(len(json.dumps(rg).split(".")[1]) for rg in found["rg_in"].values())
    assert decimals <= 8
    assert found["error_bound"]["rg_in"] == 1e-8


def test_a_file_carries_no_time() -> None:
    assert "seconds" not in json.dumps(figures_of("dunlin", timed=False))


def test_no_minus_zero() -> None:
    assert "-0.0," not in json.dumps(figures_of("turnstone"))
