"""Three routes agree on the shipped designs, and a route that is off is seen."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.load import load
from pipeline.prove import Proof, Route, prove
from pipeline.shipped import NAMES, shipped


@cache
def proof_of(name: str) -> Proof:
    return prove(build_ball(load(shipped(name))))


@pytest.mark.parametrize("name", NAMES)
def test_moments_and_boundary_agree_to_a_millionth_of_an_inch(name: str) -> None:
    moments, boundary, _ = proof_of(name).routes
    gap = np.abs(moments.properties.principal.rg_mm - boundary.properties.principal.rg_mm).max()
    assert (moments.name, boundary.name) == ("moments", "boundary")
    assert gap / 25.4 < 1e-6


@pytest.mark.parametrize("name", ["dunlin", "godwit"])
def test_no_asymmetry_comes_from_the_solids(name: str) -> None:
    tensor = proof_of(name).routes[1].properties.inertia_g_mm2
    rg = np.sqrt(np.diag(tensor) / proof_of(name).routes[1].properties.mass_g) / 25.4
    assert abs(rg[0] - rg[1]) < 1e-6


@pytest.mark.parametrize("name", NAMES)
def test_the_mesh_lies_within_its_own_bound_and_the_bound_is_no_blanket(name: str) -> None:
    moments, _, mesh = proof_of(name).routes
    gap = np.abs(moments.properties.principal.rg_mm - mesh.properties.principal.rg_mm).max()
    assert 0.0 < gap < mesh.properties.bound.rg_mm
    assert mesh.properties.bound.rg_mm / 25.4 < 0.006


def test_routes_that_part_are_named_with_figures() -> None:
    proof = proof_of("dunlin")
    boundary = proof.routes[1]
    off = replace(boundary.properties.principal, rg_mm=boundary.properties.principal.rg_mm + 0.001)
    wrong = Route("boundary", replace(boundary.properties, principal=off), 0.0)
    shown = replace(proof, routes=(proof.routes[0], wrong)).disagreements
    assert shown == (
        "moments and boundary differ by 3.94e-05 in of RG, more than their bounds of 1.01e-06 in",
    )


def test_routes_that_agree_say_nothing() -> None:
    assert proof_of("godwit").disagreements == ()
