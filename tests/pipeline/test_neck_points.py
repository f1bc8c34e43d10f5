"""Foot, head and barrel of turned cores, against hand-written files without them."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from tests.pipeline.searched import text
from tests.pipeline.sphere_balls import LB, swapped
from tests.pipeline.spoken import SHIPPED, all_said, fact, figure, points, points_of_file, value

SHARP = swapped(SHIPPED["dunlin"], ("    round: 0.2               # fillet at every corner\n", ""))
FOOT = "With the foot of the inner core"
FOOTLESS = swapped(
    SHARP,
    ("[2.2, -2.635]        # the foot", "[1.8, -2.635]"),
    ("      - [2.2, -1.93]\n", ""),
)
# The shipped core's neck is on a fillet of 5.08 mm radius; what is outside it is cut away by a ring
# that reaches from below the foot up to the neck.
CUT = "diameter: 6 in, inner_diameter: 92.77809904872732 mm, height: 60 mm, round: 0"
RING = f"{{shape: ring, {CUT}, move: [0, 0, -64.32000932295301 mm]}}"
STEPPED = text("shape: stepped, diameters: [4, 2.5, 4.5], heights: [1, 1.5, 2], round: 0")
FIGURES = ["low RG", "total differential"]


def cut_by_a_ring() -> str:
    """The shipped Dunlin with its core written as a cut of the same core."""
    lines = SHIPPED["dunlin"].splitlines(keepends=True)
    first = next(k for k, line in enumerate(lines) if "shape: turned" in line)
    last = next(k for k, line in enumerate(lines) if "round: 0.2" in line)
    inner = "".join("    " + line for line in lines[first : last + 1])
    lines[first : last + 1] = [f"    shape: cut\n    body:\n{inner}    away: [{RING}]\n"]
    return "".join(lines)


@pytest.mark.parametrize("name", FIGURES)
def test_a_sharp_cores_foot_against_a_file_without_it(name: str) -> None:
    found = value(fact(points(SHARP), FOOT), f"{name} with the foot of the inner core cut down")
    assert found == pytest.approx(value(fact(points(FOOTLESS), f"Its {name} is"), name), abs=1e-9)


@pytest.mark.parametrize("name", FIGURES)
def test_the_dunlins_foot_against_a_file_that_cuts_it_away(name: str) -> None:
    one = fact(points_of_file("dunlin"), FOOT)
    found = value(one, f"{name} with the foot of the inner core cut down")
    due = value(fact(points(cut_by_a_ring()), f"Its {name} is"), name)
    assert found == pytest.approx(due, abs=1e-9)


def test_the_dunlins_foot_moves_mass_away_from_the_centre() -> None:
    assert "The foot of the inner core moves mass away from the ball's centre" in all_said(
        points_of_file("dunlin")
    )


def test_where_and_how_wide_the_neck_is() -> None:
    one = fact(points(SHARP), FOOT)
    names = ("height of the neck", "greatest radius of the foot", "radius of the neck")
    found = [figure(one, name).value for name in names]
    assert found == pytest.approx([0.4 - 1.38, 2.2, 1.8])


def test_what_a_foot_holds_outside_its_neck_in_closed_form() -> None:
    """A ring of radii 1.25 and 2 in from z = -2.25 to -1.25 in: its mass and mean square radius."""
    one = fact(points(STEPPED), "The foot of the inner core")
    mass = 2.3 * pi * (2.0**2 - 1.25**2) * 2.54**3
    square = (2.0**2 + 1.25**2) / 2.0 + 1.75**2 + 1.0 / 12.0
    assert figure(one, "mass of the foot").value == pytest.approx(mass / LB)
    away = figure(one, "root mean square distance from the ball's centre, foot of the inner core")
    assert away.value == pytest.approx(sqrt(square))


def test_of_two_bodies_the_taller_is_neither_foot_nor_head() -> None:
    assert "With the body of the inner core, above the neck" in all_said(points_of_file("dunlin"))


def test_a_head_is_above_the_neck() -> None:
    upside = STEPPED.replace("round: 0", "round: 0, tilt: {by: 180, toward: 0}")
    assert "With the head of the inner core, above the neck at height 0.500 in" in all_said(
        points(upside)
    )


def test_between_two_necks_is_the_barrel() -> None:
    source = text(
        "shape: stepped, diameters: [4, 2.5, 4.5, 3, 4], heights: [1, 1, 1, 1, 1], round: 0"
    )
    assert (
        "With the barrel of the inner core, between the necks at heights \u22121.000 and 1.000 in, "
        "cut down from a radius of 2.250 to its neck's 1.500 in" in all_said(points(source))
    )


def test_a_bodys_place_is_told_from_the_balls_centre() -> None:
    """The core stands 0.3 in up, and its neck at its middle."""
    source = text("shape: spool, move: [0, 0, 0.3]")
    assert "below the neck at height 0.300 in" in all_said(points(source))


def test_a_foot_whose_rim_an_insert_takes_is_not_cut_down() -> None:
    """A ring holds all that the foot has outside its neck's radius of 1.25 in."""
    rim = (
        "  - {name: rim, material: clay, shape: ring, diameter: 4, inner_diameter: 2.5, height: 1, "
        "round: 0, move: [0, 0, -1.75]}\n"
    )
    source = swapped(STEPPED, ("  - {name: inner core", f"{rim}  - {{name: inner core"))
    assert FOOT not in all_said(points(source))


@pytest.mark.parametrize(
    "core",
    [
        "shape: barrel",
        "shape: sphere, diameter: 4",
        "shape: box, size: [3, 3.5, 4]",
        "shape: spool, tilt: {by: 60, toward: 0}",
    ],
    ids=["barrel", "sphere", "box", "leaning spool"],
)
def test_a_core_without_a_neck_or_without_ends_has_neither_foot_nor_head(core: str) -> None:
    said = all_said(points(text(core)))
    assert "foot" not in said
    assert "head" not in said
