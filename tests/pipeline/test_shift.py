"""Where drilling moves the marks: not at all, by a known angle, or from nowhere."""

from __future__ import annotations

from dataclasses import replace
from math import pi, radians, sqrt

import numpy as np
import pytest

from pipeline.axes import principal
from pipeline.drilled import Drilled
from pipeline.shift import Moved, pin_moved, psa_moved, rg_about_mm
from pipeline.weigh import MassProperties
from tests.pipeline.drilled_text import BARE, MARKED, PLAIN, RADIUS, UNEVEN, drilled, holes

QUARTER = RADIUS * pi / 2.0 / 25.4
RGS = np.diag([66.0, 65.0, 64.0]) ** 2  # low along Z, high along X
NOT_MOVED = Moved(pytest.approx(0.0, abs=1e-4), pytest.approx(0.0, abs=1e-4))  # type: ignore[arg-type]


def four(core: str) -> Drilled:
    """Holes round the equator that are mirror images in the planes of the axes."""
    return drilled(
        holes(
            *(
                f"name: h{a}, use: finger, at: {{arc: {QUARTER}, azimuth: {a}}}, "
                "diameter: 1, depth: 2.5"
                for a in (20, 160, 200, 340)
            )
        ),
        core,
    )


def turned(found: Drilled, degrees: float, axis: int) -> Drilled:
    """The ball as if it had been of known RGs, and drilling had turned its axes by so much."""
    a, b = (k for k in range(3) if k != axis)
    turn = np.eye(3)
    turn[a, a] = turn[b, b] = np.cos(radians(degrees))
    turn[b, a] = np.sin(radians(degrees))
    turn[a, b] = -turn[b, a]

    def of(inertia: np.ndarray) -> MassProperties:
        mass = found.properties.mass_g
        return replace(
            found.properties,
            centre_of_gravity_mm=np.zeros(3),
            inertia_g_mm2=mass * inertia,
            principal=principal(mass * inertia, mass, 1e-6),
        )

    return replace(found, undrilled=of(RGS), properties=of(turn @ RGS @ turn.T))


@pytest.fixture(scope="module")
def uneven() -> Drilled:
    return four(UNEVEN)


def test_holes_mirrored_in_its_planes_move_no_pin(uneven: Drilled) -> None:
    assert pin_moved(uneven) == NOT_MOVED


def test_holes_mirrored_in_its_planes_move_no_psa(uneven: Drilled) -> None:
    assert psa_moved(uneven) == NOT_MOVED


def test_nothing_moves_when_nothing_changes(uneven: Drilled) -> None:
    same = replace(uneven, properties=uneven.undrilled)
    assert (pin_moved(same), psa_moved(same)) == (Moved(0.0, 0.0), Moved(0.0, 0.0))


@pytest.mark.parametrize("degrees", [5.0, 60.0, -60.0, 120.0, -170.0])
def test_a_pin_that_turned_moved_by_that_angle(uneven: Drilled, degrees: float) -> None:
    due = min(abs(degrees), 180.0 - abs(degrees))
    found = pin_moved(turned(uneven, degrees, 1))
    assert found.angle_deg == pytest.approx(due, abs=1e-6)


@pytest.mark.parametrize("degrees", [5.0, 60.0, -60.0])
def test_a_pin_that_turned_went_along_the_surface(uneven: Drilled, degrees: float) -> None:
    found = pin_moved(turned(uneven, degrees, 1))
    assert found.on_surface_mm == pytest.approx(RADIUS * radians(abs(degrees)), abs=1e-6)


def test_the_end_of_an_axis_is_followed_past_the_equator(uneven: Drilled) -> None:
    """A high axis that turns by 100 degrees is 80 degrees off as a line; its end went 100 or 80."""
    found = psa_moved(turned(uneven, 80.0, 2))
    assert found.on_surface_mm == pytest.approx(RADIUS * radians(80.0), abs=1e-6)


def test_a_psa_that_stays_while_the_pin_turns(uneven: Drilled) -> None:
    found = psa_moved(turned(uneven, 30.0, 0))
    assert found == NOT_MOVED


def test_the_psa_of_a_symmetrical_ball_comes_from_nowhere() -> None:
    assert psa_moved(drilled(BARE)) == Moved(None, None)


def test_a_ball_without_a_low_axis_has_no_pin_to_move() -> None:
    assert pin_moved(drilled(BARE, PLAIN)) == Moved(None, None)


def test_an_off_centre_grip_moves_pin_and_psa() -> None:
    found = drilled(MARKED, UNEVEN)
    for moved in (pin_moved(found), psa_moved(found)):
        assert moved.angle_deg is not None
        assert 1.0 < moved.angle_deg < 90.0


def test_the_rg_about_a_principal_axis_is_a_principal_rg(uneven: Drilled) -> None:
    after = uneven.properties.principal
    assert after.high is not None
    assert rg_about_mm(uneven, after.high) == pytest.approx(after.rg_mm[2], rel=1e-12)


def test_the_rg_between_two_axes(uneven: Drilled) -> None:
    found = rg_about_mm(turned(uneven, 0.0, 1), np.array([0.6, 0.0, 0.8]))
    assert found == pytest.approx(sqrt(0.36 * 66.0**2 + 0.64 * 64.0**2))


def test_a_quarter_turn_is_the_most(uneven: Drilled) -> None:
    found = pin_moved(turned(uneven, 90.0, 1))
    assert found.on_surface_mm == pytest.approx(RADIUS * pi / 2.0, abs=1e-6)
