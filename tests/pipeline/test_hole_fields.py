"""Holes in the ball frame: what is read of them, and what is refused."""

from __future__ import annotations

import pytest

from pipeline.drilling import Drill, Insert, RawHole
from tests.pipeline.drilled_text import HOLE, asked, holes, refusals, swapped

LENGTH = "a length in in, mm, cm, such as '3.4 in', '4 5/8 in' or '86 mm'"


def test_a_hole_is_read_with_what_stands_for_keys_that_are_left_out() -> None:
    (hole,) = asked(holes(HOLE)).holes
    assert hole == RawHole(
        "thumb", "thumb", pytest.approx(171.45), 30.0, (0.0, 0.0, 0.0),
        Drill(25.4, 63.5, None, 0.0, None), 12,
    )  # fmt: skip


@pytest.mark.parametrize("use", ["finger", "thumb", "vent"])
def test_every_use(use: str) -> None:
    assert asked(holes(swapped(HOLE, ("use: thumb", f"use: {use}")))).holes[0].use == use


def test_a_point_of_the_axis() -> None:
    (hole,) = asked(holes(HOLE + ", towards: [0.1, 2 mm, -1/4]")).holes
    assert hole.towards_mm == pytest.approx((2.54, 2.0, -6.35))


def test_a_bevel() -> None:
    assert asked(holes(HOLE + ", bevel: 1/16")).holes[0].drill.bevel_mm == pytest.approx(1.5875)


def test_a_flat_bottom() -> None:
    assert asked(holes(HOLE + ", bottom: flat")).holes[0].drill.point_deg is None


@pytest.mark.parametrize(("text", "degrees"), [("118", 118.0), ("60 deg", 60.0), ("179", 179.0)])
def test_a_cone_at_the_bottom(text: str, degrees: float) -> None:
    (hole,) = asked(holes(f"{HOLE}, bottom: {{point: {text}}}")).holes
    assert hole.drill.point_deg == degrees


def test_an_insert() -> None:
    (hole,) = asked(holes(HOLE + ", insert: {bore: 1.25, depth: 30 mm, density: 1200 kg/m3}")).holes
    assert hole.drill.insert == Insert(31.75, 30.0, pytest.approx(1.2))


def test_an_angle_may_be_given_in_radians() -> None:
    (hole,) = asked(holes(swapped(HOLE, ("30 deg", "0.5 rad")))).holes
    assert hole.azimuth_deg == pytest.approx(28.64788975654116)


def test_every_hole_keeps_its_line() -> None:
    second = swapped(HOLE, ("name: thumb", "name: other"))
    assert [hole.line for hole in asked(holes(HOLE, second)).holes] == [12, 13]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (
            "diameter: 1.0",
            "diamter: 1.0",
            ".diamter: read 'diamter'; allowed: keys name, use, at, towards, diameter, depth, "
            "bottom, bevel, insert; did you mean 'diameter'?",
        ),
        (
            "diameter: 1.0",
            "diameter: 0",
            f".diameter: read '0': it is not greater than 0; allowed: {LENGTH}, greater than 0",
        ),
        (
            "diameter: 1.0",
            "diameter: -1",
            f".diameter: read '-1': it is not greater than 0; allowed: {LENGTH}, greater than 0",
        ),
        (
            "diameter: 1.0",
            "diameter: 1.0 lb",
            f".diameter: read '1.0 lb': 'lb' is no unit of length; allowed: {LENGTH}, "
            "greater than 0",
        ),
        (
            "depth: 2.5",
            "depth: 0",
            f".depth: read '0': it is not greater than 0; allowed: {LENGTH}, greater than 0",
        ),
        (
            "depth: 2.5",
            "depth: 2.5, bevel: -1/16",
            f".bevel: read '-1/16': it is less than 0; allowed: {LENGTH}, at least 0",
        ),
        ("depth: 2.5", "depth: 2.5, bottom: round", ".bottom: read 'round'; allowed: flat, or {p"),
        ("depth: 2.5", "depth: 2.5, bottom: {}", ".bottom.point: nothing is there; allowed: a"),
        (
            "depth: 2.5",
            "depth: 2.5, bottom: {point: 59.9}",
            ".bottom.point: read '59.9': it is less than 60; allowed: ",
        ),
        (
            "depth: 2.5",
            "depth: 2.5, bottom: {point: 179.1}",
            ".bottom.point: read '179.1': it is too much; allowed: ",
        ),
        (
            "depth: 2.5",
            "depth: 2.5, bottom: {point: 118 in}",
            ".bottom.point: read '118 in': 'in' is no unit of angle; allowed: ",
        ),
        (
            "depth: 2.5",
            "depth: 2.5, insert: {bore: 0.9, depth: 1, density: 1}",
            ".insert.bore: read '0.9'; allowed: wider than the hole's diameter; make it wider",
        ),
        (
            "depth: 2.5",
            "depth: 2.5, insert: {bore: 1.0, depth: 1, density: 1}",
            ".insert.bore: read '1.0'; allowed: wider than the hole's diameter; make it wider",
        ),
        (
            "depth: 2.5",
            "depth: 2.5, insert: {bore: 1.2, depth: 0, density: 1}",
            f".insert.depth: read '0': it is not greater than 0; allowed: {LENGTH}",
        ),
        (
            "depth: 2.5",
            "depth: 2.5, insert: {bore: 1.2, depth: 1, density: 3.81}",
            ".insert.density: read '3.81': it is too much; allowed: a density in g/cm3",
        ),
        (
            "depth: 2.5",
            "depth: 2.5, insert: {bore: 1.2, depth: 1}",
            ".insert.density: nothing is there; allowed: a density in g/cm3",
        ),
        (
            "diameter: 1.0",
            "diameter: 101 mm",
            ".diameter: read '101 mm'; allowed: a hole of less than 3.9 in (100 mm) with its bevel",
        ),
        ("use: thumb", "use: balance", ".use: read 'balance'; allowed: finger, thumb, vent"),
        (
            "use: thumb",
            "use: fingr",
            ".use: read 'fingr'; allowed: finger, thumb, vent; did you mean 'finger'?",
        ),
        (", use: thumb", "", ".use: nothing is there; allowed: finger, thumb, vent; it must be th"),
        ("name: thumb, ", "", ".name: nothing is there; allowed: a name of at most 80 characters"),
        ("name: thumb", f"name: {'x' * 81}", ".name: read 'xxx"),
        (
            "arc: 6.75 in",
            "arc: -6.75 in",
            f".at.arc: read '-6.75 in': it is less than 0; allowed: {LENGTH}, at least 0",
        ),
        ("azimuth: 30 deg", "azimuth: 30 in", ".at.azimuth: read '30 in': 'in' is no unit of ang"),
        (
            ", azimuth: 30 deg",
            "",
            ".at.azimuth: nothing is there; allowed: a",
        ),
        (
            "depth: 2.5",
            "depth: 2.5, towards: [1, 2]",
            f".towards: read [1, 2]; allowed: [x, y, z], each {LENGTH}",
        ),
        (
            "depth: 2.5",
            "depth: 2.5, towards: [1, 2, 3 deg]",
            f".towards.z: read '3 deg': 'deg' is no unit of length; allowed: {LENGTH}",
        ),
    ],
)
def test_refused_with_place_and_what_is_allowed(old: str, new: str, says: str) -> None:
    (told,) = refusals(holes(swapped(HOLE, (old, new))))
    assert told.startswith(f"x.yaml:12: drilling.holes[0]{says}")


def test_a_hole_with_its_bevel_is_less_than_100_mm_wide() -> None:
    (told,) = refusals(holes(swapped(HOLE, ("diameter: 1.0", "diameter: 98 mm, bevel: 1.1 mm"))))
    assert told.startswith("x.yaml:12: drilling.holes[0].diameter: read '98 mm'; allowed: a hole o")


def test_the_line_is_that_of_the_value() -> None:
    text = "  holes:\n    - name: thumb\n      use: thumb\n      at: {arc: 6.75, azimuth: 30}\n"
    (told,) = refusals(text + "      diameter: 1.0\n      depth: deep\n")
    assert told.startswith("x.yaml:16: drilling.holes[0].depth: read 'deep': it does not start")


def test_all_problems_of_a_drilling_come_at_once() -> None:
    (one, other) = refusals(
        holes(
            swapped(HOLE, ("depth: 2.5", "depth: 0")),
            swapped(HOLE, ("diameter: 1.0", "diameter: 0")),
        )
    )
    assert one.startswith("x.yaml:12: drilling.holes[0].depth")
    assert other.startswith("x.yaml:13: drilling.holes[1].diameter")
