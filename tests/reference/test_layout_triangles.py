"""Grips and layouts against spherical trigonometry, measured on the holes that were drilled."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import acos, asin, atan, atan2, cos, degrees, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest
from scipy.optimize import brentq

from pipeline.ball import build_ball
from pipeline.drilled import Drilled, drill
from pipeline.drilling import Place
from pipeline.errors import BallError
from pipeline.holes import Hole
from pipeline.layout import pin_at
from pipeline.load import read_design
from pipeline.shipped import NAMES, shipped
from pipeline.sphere import angle_between_sides, arc_rad, rotation_to, stepped, tangent
from pipeline.units import MM_PER_IN

Array = np.ndarray
DIAMETER = 8.55
RADIUS = DIAMETER / 2 * MM_PER_IN
HEAD = """
format: corewright 1
name: Test
revision: A
units: in
ball: {diameter: 8.55}
materials: {clay: {density: 2.2}, shell: {density: 1.1}}
parts:
  - {name: core, material: clay, shape: ellipsoid, %s}
  - {name: cover, material: shell, shape: sphere, diameter: 8.55}
"""
# both are their own mirror images in y = 0; the high-RG mark of the first lies in that plane
ASYMMETRICAL = HEAD % "size: [3.2, 4.1, 5.2], tilt: {by: 10, toward: 0}, move: [0.1, 0, 0.2]"
SYMMETRICAL = HEAD % "size: [3.4, 3.4, 5.2], move: [0, 0, 0.2]"
THUMB = "{diameter: 1, depth: 2.75, bottom: {point: 118}, reverse: 3/8, left: 1/8, bevel: 1/32}"
LAID = "pin_to_axis_point: 4, pin_to_val: 2, pin: above"
MARK = ", mark_to_axis_point: 4.5, mark: below"


@lru_cache
def drilled(
    ball: str, layout: str, hand: str = "right", thumb: str = THUMB, vents: str = ""
) -> Drilled:
    found = drill(
        build_ball(
            read_design(f"""{ball}
drilling:
  hand: {hand}
  grip:
    middle: {{span: 4 3/8, diameter: 25/32, depth: 2.5, forward: 1/4, right: 1/16}}
    ring: {{span: 4 5/16, diameter: 3/4, depth: 2.4, reverse: 1/8}}
    bridge: 0.25
    thumb: {thumb}{vents}
  axis_point: {{over: 5, up: 1/2}}
  layout: {{{layout}}}
""")
        )
    )
    assert found is not None
    return found


def arc_in(a: Array, b: Array) -> float:
    """From the dot product of two unit vectors, in on the ball."""
    return acos(float(a @ b)) * DIAMETER / 2


def hole_of(found: Drilled, name: str) -> Hole:
    (hole,) = (hole for hole in found.holes if hole.name == name)
    return hole


def frame_of(found: Drilled) -> Array:
    assert found.laid.frame is not None
    return found.laid.frame


def axis_of(found: Drilled) -> Array:
    assert found.laid.axis_point is not None
    return found.laid.axis_point


# ---- triangles

# An oblique triangle that texts work as an example (Wentworth's Spherical Trigonometry; from
# memory): three sides, and the angles opposite to them to the second.
SIDES = (70 + 14 / 60 + 20 / 3600, 49 + 24 / 60 + 10 / 3600, 38 + 46 / 60 + 10 / 3600)
ANGLES = (110 + 51 / 60 + 16 / 3600, 48 + 56 / 60 + 4 / 3600, 38 + 26 / 60 + 48 / 3600)


def by_half_angles(a: float, b: float, c: float) -> float:
    """tan(A/2)^2 = sin(s-b) sin(s-c) / (sin s sin(s-a)), 2s the sum (Todhunter; from memory)."""
    s = (a + b + c) / 2
    return 2 * atan(sqrt(sin(s - b) * sin(s - c) / (sin(s) * sin(s - a))))


@pytest.mark.parametrize("k", range(3))
def test_a_worked_triangle(k: int) -> None:
    a, b, c = (radians(SIDES[(k + i) % 3]) for i in range(3))
    found = angle_between_sides(a, b, c)
    assert found is not None
    assert degrees(found) == pytest.approx(ANGLES[k], abs=1.5 / 3600)
    assert found == pytest.approx(by_half_angles(a, b, c), abs=1e-13)


def test_an_octant() -> None:
    """Three right sides, three right angles."""
    assert angle_between_sides(pi / 2, pi / 2, pi / 2) == pytest.approx(pi / 2, abs=1e-15)


@pytest.mark.parametrize("sides", [(1.0, 0.4, 0.5), (0.2, 1.0, 1.3), (2.4, 2.2, 2.0)])
def test_triangles_that_do_not_close(sides: tuple[float, float, float]) -> None:
    """One side longer than the others together; their sum more than all round."""
    assert angle_between_sides(*sides) is None


@pytest.mark.parametrize("arc", [1e-9, 1e-4, 0.8, pi / 2, pi - 1e-4, pi - 1e-9])
def test_short_and_long_arcs(arc: float) -> None:
    at = np.array([0.36, 0.48, 0.8])
    way = tangent(at, np.array([0.0, -1.0, 0.0]))
    assert way @ at == pytest.approx(0.0, abs=1e-15)
    assert arc_rad(at, stepped(at, way, arc)) == pytest.approx(arc, rel=1e-6, abs=1e-15)


def test_arcs_by_haversines() -> None:
    """Hav d = hav(lat2 - lat1) + cos lat1 cos lat2 hav(lon2 - lon1) (navigation; from memory)."""
    for lat1, lon1, lat2, lon2 in np.random.default_rng(3).uniform(-1.5, 1.5, (50, 4)):
        hav = sin((lat2 - lat1) / 2) ** 2 + cos(lat1) * cos(lat2) * sin((lon2 - lon1) / 2) ** 2
        a, b = (
            np.array([cos(lat) * cos(lon), cos(lat) * sin(lon), sin(lat)])
            for lat, lon in ((lat1, lon1), (lat2, lon2))
        )
        assert arc_rad(a, b) == pytest.approx(2 * asin(sqrt(hav)), rel=1e-12)


def test_a_rotation_to_two_directions() -> None:
    first, second = np.array([0.6, 0.8, 0.0]), np.array([0.0, 0.6, 0.8])
    to_first, to_second = np.array([0.0, 0.0, 1.0]), np.array([0.8, -0.6, 0.0])
    turn = rotation_to(first, second, to_first, to_second)
    assert turn @ turn.T == pytest.approx(np.eye(3), abs=1e-15)
    assert np.linalg.det(turn) == pytest.approx(1.0)
    assert turn @ first == pytest.approx(to_first, abs=1e-15)
    image = turn @ second
    assert image @ np.cross(to_first, to_second) == pytest.approx(0.0, abs=1e-15)
    assert image @ to_second > 0


@pytest.mark.parametrize("above", [True, False])
@pytest.mark.parametrize(("over", "up"), [(0.0, 0.0), (5.0, 0.5), (4.0, -1.5)])
@pytest.mark.parametrize("leg", [1.5, -1.0, 0.0])
def test_the_pin_s_right_angled_triangle(above: bool, over: float, up: float, leg: float) -> None:
    """Its other leg by Napier's rule, cos c = cos a cos b, runs along the line (from memory).

    That line is the great circle through the axis point and the poles of the midline.
    """
    r, hypotenuse = DIAMETER / 2, 3.5
    place = Place(over * MM_PER_IN, up * MM_PER_IN)
    pin = pin_at(place, hypotenuse * MM_PER_IN, leg * MM_PER_IN, RADIUS, above=above)
    along = acos(cos(hypotenuse / r) / cos(leg / r)) * (1 if above else -1)
    height = up / r + along  # of the foot, up along the line; past the pole where it is more
    foot = np.array([cos(height) * cos(over / r), cos(height) * sin(over / r), sin(height)])
    axis = np.array([cos(up / r) * cos(over / r), cos(up / r) * sin(over / r), sin(up / r)])
    away = np.array([-sin(over / r), cos(over / r), 0.0])  # square to the line, not to the grip
    assert arc_in(axis, pin) == pytest.approx(hypotenuse, abs=1e-12)
    assert asin(-pin @ away) * r == pytest.approx(leg, abs=1e-12)
    assert pin == pytest.approx(cos(leg / r) * foot - sin(leg / r) * away, abs=1e-12)


def test_a_leg_longer_than_its_hypotenuse() -> None:
    with pytest.raises(BallError, match="does not close"):
        pin_at(Place(127.0, 12.7), 50.8, 63.5, RADIUS, above=True)


# ---- layouts as they were drilled


@dataclass(frozen=True)
class Asked:
    pin_to_axis: float
    pin_to_val: float
    pin: str
    mark_to_axis: float
    mark: str

    def told(self) -> str:
        return (
            f"pin_to_axis_point: {self.pin_to_axis}, pin_to_val: {self.pin_to_val}, "
            f"pin: {self.pin}, mark_to_axis_point: {self.mark_to_axis}, mark: {self.mark}"
        )


@pytest.fixture(
    params=[
        Asked(4.0, 2.0, "above", 4.5, "below"),
        Asked(5.5, 1.0, "below", 3.5, "above"),
        Asked(2.0, -1.25, "above", 6.5, "below"),
    ],
    ids=["usual", "pin down", "pin beyond the line"],
)
def asked(request: pytest.FixtureRequest) -> Asked:
    found: Asked = request.param
    return found


@pytest.fixture(params=["right", "left"])
def hand(request: pytest.FixtureRequest) -> str:
    found: str = request.param
    return found


def over_and_up_in(found: Drilled, point: Array, hand: str) -> tuple[float, float]:
    """Along the midline to the ring finger's side, then up; in on the ball."""
    out, right, up = frame_of(found).T
    side = 1 if hand == "right" else -1
    r = DIAMETER / 2
    return atan2(side * point @ right, point @ out) * r, asin(point @ up) * r


def test_the_pin_is_as_far_from_the_axis_point_as_asked(asked: Asked, hand: str) -> None:
    found = drilled(ASYMMETRICAL, asked.told(), hand)
    assert arc_in(found.laid.pin, axis_of(found)) == pytest.approx(asked.pin_to_axis, abs=1e-9)


def test_the_mark_is_as_far_from_the_axis_point_as_asked(asked: Asked, hand: str) -> None:
    found = drilled(ASYMMETRICAL, asked.told(), hand)
    assert found.laid.mark is not None
    assert arc_in(found.laid.mark, axis_of(found)) == pytest.approx(asked.mark_to_axis, abs=1e-9)


def test_the_pin_is_as_far_from_the_vertical_axis_line(asked: Asked, hand: str) -> None:
    """That line runs through the axis point and the midline's poles; the grip is on one side."""
    found = drilled(ASYMMETRICAL, asked.told(), hand)
    normal = np.cross(frame_of(found)[:, 2], axis_of(found))
    normal /= np.linalg.norm(normal)
    side = np.sign(normal @ frame_of(found)[:, 0])
    square = asin(side * normal @ found.laid.pin) * DIAMETER / 2
    assert square == pytest.approx(asked.pin_to_val, abs=1e-9)


def test_the_pin_is_above_or_below_the_axis_point(asked: Asked, hand: str) -> None:
    """Along the line: on the side of the great circle square to it through the axis point."""
    found = drilled(ASYMMETRICAL, asked.told(), hand)
    upwards = tangent(axis_of(found), frame_of(found)[:, 2])
    assert (found.laid.pin @ upwards > 0) == (asked.pin == "above")


def test_the_mark_is_the_upper_or_lower_of_two(asked: Asked, hand: str) -> None:
    """The other one is its mirror image in the great circle of pin and axis point."""
    found = drilled(ASYMMETRICAL, asked.told(), hand)
    mark, up = found.laid.mark, frame_of(found)[:, 2]
    assert mark is not None
    normal = np.cross(found.laid.pin, axis_of(found))
    other = mark - 2 * (mark @ normal) / (normal @ normal) * normal
    assert (mark @ up > other @ up) == (asked.mark == "above")


def test_the_axis_point_is_over_and_up_from_the_grip_centre(asked: Asked, hand: str) -> None:
    found = drilled(ASYMMETRICAL, asked.told(), hand)
    assert over_and_up_in(found, axis_of(found), hand) == pytest.approx((5.0, 0.5), abs=1e-9)


def test_pin_and_mark_are_where_the_ball_s_own_axes_leave_it() -> None:
    """Lines through the centre of gravity along eigenvectors of the undrilled tensor (LAPACK)."""
    found = drilled(ASYMMETRICAL, LAID + MARK)
    before, marks = found.undrilled, (found.laid.pin, found.laid.mark)
    _, axes = np.linalg.eigh(before.inertia_g_mm2)
    for mark, axis in zip(marks, (axes[:, 0], axes[:, 2]), strict=True):
        assert mark is not None
        away = mark * RADIUS - before.centre_of_gravity_mm
        assert np.linalg.norm(np.cross(away, axis)) == pytest.approx(0.0, abs=1e-7)
    assert found.laid.pin[2] > 0


def test_places_that_were_measured_put_the_grip_where_it_was(asked: Asked, hand: str) -> None:
    """Pin and mark of a layout by distances, told as places from the grip centre."""
    one = drilled(ASYMMETRICAL, asked.told(), hand)
    assert one.laid.mark is not None
    told = [
        f"{key}: {{over: {over:.12f}, up: {up:.12f}}}"
        for key, point in (("pin_at", one.laid.pin), ("mark_at", one.laid.mark))
        for over, up in [over_and_up_in(one, point, hand)]
    ]
    found = drilled(ASYMMETRICAL, ", ".join(told), hand)
    for a, b in zip(found.holes, one.holes, strict=True):
        assert a.entry_mm == pytest.approx(b.entry_mm, abs=1e-8)
        assert a.way == pytest.approx(b.way, abs=1e-10)


def test_an_eighth_of_the_ball() -> None:
    """3 3/8 in is an eighth of 27 in round, 45 degrees (common practice; no source)."""
    text = SYMMETRICAL.replace("8.55", "8.594")
    found = drilled(text, "pin_to_axis_point: 3 3/8, pin_to_val: 2, pin: above")
    assert pi * 8.594 == pytest.approx(27.0, abs=1.5e-3)
    angle = degrees(acos(found.laid.pin @ axis_of(found)))
    assert angle == pytest.approx(45.0, abs=5e-3)


# ---- grips as they were drilled


def edge_arc(hole: Hole, towards: Array) -> float:
    """From where its axis meets the surface to its wall, along a great circle, radians."""
    at = hole.entry_mm / RADIUS
    along = towards - (towards @ at) * at
    along /= np.linalg.norm(along)

    def outside(arc: float) -> float:
        x = RADIUS * (cos(arc) * at + sin(arc) * along)
        return float(np.linalg.norm(np.cross(x - hole.entry_mm, hole.way))) - (
            hole.drill.diameter_mm / 2
        )

    return float(brentq(outside, 0.0, 0.5, xtol=1e-15))


def between_edges_in(one: Hole, other: Hole) -> float:
    a, b = one.entry_mm / RADIUS, other.entry_mm / RADIUS
    return (acos(float(a @ b)) - edge_arc(one, b) - edge_arc(other, a)) * DIAMETER / 2


SPANS = {"middle": 4 + 3 / 8, "ring": 4 + 5 / 16}


@pytest.mark.parametrize("finger", SPANS)
def test_spans_edge_to_edge(finger: str, hand: str) -> None:
    found = drilled(SYMMETRICAL, LAID, hand)
    span = between_edges_in(hole_of(found, "thumb"), hole_of(found, finger))
    assert span == pytest.approx(SPANS[finger], abs=1e-9)


@pytest.mark.parametrize("finger", SPANS)
def test_spans_from_the_palm_s_mark(finger: str, hand: str) -> None:
    """Without a thumb hole they start at the grip centre."""
    found = drilled(SYMMETRICAL, LAID, hand, "none")
    hole, centre = hole_of(found, finger), frame_of(found)[:, 0]
    span = (acos(centre @ hole.entry_mm / RADIUS) - edge_arc(hole, centre)) * DIAMETER / 2
    assert span == pytest.approx(SPANS[finger], abs=1e-9)


@pytest.mark.parametrize("thumb", [THUMB, "none"], ids=["with thumb", "without"])
def test_bridge_edge_to_edge(hand: str, thumb: str) -> None:
    found = drilled(SYMMETRICAL, LAID, hand, thumb)
    bridge = between_edges_in(hole_of(found, "middle"), hole_of(found, "ring"))
    assert bridge == pytest.approx(0.25, abs=1e-9)


def test_a_span_ends_at_the_bore_that_is_drilled(hand: str) -> None:
    """The body of the ring finger's hole holds the surface inside its edge, not beyond it."""
    found = drilled(SYMMETRICAL, LAID, hand)
    ring, thumb = hole_of(found, "ring"), hole_of(found, "thumb").entry_mm / RADIUS
    at = ring.entry_mm / RADIUS
    way, edge = tangent(at, thumb), edge_arc(ring, thumb)
    points = np.array([RADIUS * stepped(at, way, edge + d) for d in (-1e-7, 1e-7)])
    assert ring.bore().contains(points).tolist() == [True, False]


def test_the_bridge_s_middle_and_the_thumb_stand_on_the_centreline(hand: str) -> None:
    found = drilled(SYMMETRICAL, LAID, hand)
    middle, ring = hole_of(found, "middle"), hole_of(found, "ring")
    a, b = middle.entry_mm / RADIUS, ring.entry_mm / RADIUS
    half = between_edges_in(middle, ring) / DIAMETER
    bridge = stepped(a, tangent(a, b), edge_arc(middle, b) + half)
    right = frame_of(found)[:, 1]
    assert bridge @ right == pytest.approx(0.0, abs=1e-12)
    assert hole_of(found, "thumb").entry_mm @ right == pytest.approx(0.0, abs=1e-9)


def test_the_grip_centre_is_half_the_mean_span_from_the_thumb_s_edge(hand: str) -> None:
    found = drilled(SYMMETRICAL, LAID, hand)
    thumb, centre = hole_of(found, "thumb"), frame_of(found)[:, 0]
    away = (acos(thumb.entry_mm @ centre / RADIUS) - edge_arc(thumb, centre)) * DIAMETER / 2
    assert away == pytest.approx((SPANS["middle"] + SPANS["ring"]) / 4, abs=1e-9)


def test_fingers_are_up_and_the_ring_finger_to_its_hand_s_side(hand: str) -> None:
    """Seen from outside, fingers up: a right hand's ring finger is to the right of its middle."""
    found = drilled(SYMMETRICAL, LAID, hand)
    out, right, up = frame_of(found).T
    assert np.cross(right, up) == pytest.approx(out)
    middle, ring, thumb = (hole_of(found, n).entry_mm for n in ("middle", "ring", "thumb"))
    assert min(middle @ up, ring @ up) > 0 > thumb @ up
    assert (ring @ right > middle @ right) == (hand == "right")


PITCHES = {"middle": (1 / 4, 1 / 16), "ring": (-1 / 8, 0.0), "thumb": (-3 / 8, -1 / 8)}


@pytest.mark.parametrize("name", PITCHES)
def test_pitches_are_how_far_an_axis_misses_the_centre(name: str, hand: str) -> None:
    hole = hole_of(drilled(SYMMETRICAL, LAID, hand), name)
    foot = hole.entry_mm - (hole.entry_mm @ hole.way) * hole.way
    due = hypot(*PITCHES[name]) * MM_PER_IN
    assert np.linalg.norm(foot) == pytest.approx(due, abs=1e-10)


@pytest.mark.parametrize("name", PITCHES)
def test_forward_leans_the_bottom_to_the_grip_centre(name: str, hand: str) -> None:
    """And right leans it to the right, seen from outside with the fingers up, for either hand."""
    found = drilled(SYMMETRICAL, LAID, hand)
    hole = hole_of(found, name)
    at = hole.entry_mm / RADIUS
    forward = tangent(at, frame_of(found)[:, 0])
    right = np.cross(forward, at)
    right = right * np.sign(right @ frame_of(found)[:, 1])
    bottom = hole.entry_mm + hole.drill.depth_mm * hole.way
    lean = np.array([bottom @ forward, bottom @ right])
    due = np.array(PITCHES[name])
    assert lean / np.linalg.norm(lean) == pytest.approx(due / np.linalg.norm(due), abs=1e-12)


def test_a_vent_runs_to_the_hole_s_axis(hand: str) -> None:
    vent_ = "\n    vents: [{at: {over: 0.5, down: 1}, into: thumb, at_depth: 1.5, diameter: 1/8}]"
    found = drilled(SYMMETRICAL, LAID, hand, vents=vent_)
    vent, thumb = hole_of(found, "vent 1"), hole_of(found, "thumb")
    place = over_and_up_in(found, vent.entry_mm / RADIUS, hand)
    assert place == pytest.approx((0.5, -1.0), abs=1e-9)
    end = vent.entry_mm + vent.drill.depth_mm * vent.way
    assert end == pytest.approx(thumb.entry_mm + 1.5 * MM_PER_IN * thumb.way, abs=1e-9)


# ---- either hand

MIRROR = np.array([1.0, -1.0, 1.0])
BALLS = {"asymmetrical": (ASYMMETRICAL, LAID + MARK), "symmetrical": (SYMMETRICAL, LAID)}
# a pitch to the right is one to the left in a mirror
OTHER_THUMB = THUMB.replace("left", "right")


@pytest.fixture(params=BALLS)
def pair(request: pytest.FixtureRequest) -> tuple[Drilled, Drilled]:
    """Drilled for a right hand, and for a left one that is its mirror image."""
    ball, layout = BALLS[request.param]
    right = drilled(ball, layout, "right")
    return right, mirrored_left(ball, layout)


def mirrored_left(ball: str, layout: str) -> Drilled:
    text = f"""{ball}
drilling:
  hand: left
  grip:
    middle: {{span: 4 3/8, diameter: 25/32, depth: 2.5, forward: 1/4, left: 1/16}}
    ring: {{span: 4 5/16, diameter: 3/4, depth: 2.4, reverse: 1/8}}
    bridge: 0.25
    thumb: {OTHER_THUMB}
  axis_point: {{over: 5, up: 1/2}}
  layout: {{{layout}}}
"""
    found = drill(build_ball(read_design(text)))
    assert found is not None
    return found


def test_holes_of_either_hand_are_mirror_images(pair: tuple[Drilled, Drilled]) -> None:
    for a, b in zip(*(one.holes for one in pair), strict=True):
        assert a.name == b.name
        assert a.entry_mm * MIRROR == pytest.approx(b.entry_mm, abs=1e-9)
        assert a.way * MIRROR == pytest.approx(b.way, abs=1e-11)


def test_balls_of_either_hand_weigh_the_same(pair: tuple[Drilled, Drilled]) -> None:
    """To twice the bound: their columns are not mirror images."""
    right, left = (one.properties for one in pair)
    assert right.mass_g == pytest.approx(left.mass_g, abs=2 * right.bound.mass_g)
    assert right.principal.rg_mm == pytest.approx(left.principal.rg_mm, abs=2 * right.bound.rg_mm)


def test_tensors_of_either_hand_are_mirror_images(pair: tuple[Drilled, Drilled]) -> None:
    right, left = (one.properties for one in pair)
    image = right.inertia_g_mm2 * np.outer(MIRROR, MIRROR)
    assert image == pytest.approx(left.inertia_g_mm2, abs=5e-7 * image.max())
    assert abs(image[0, 1]) > 1e-4 * image.max()  # there is something to mirror


# ---- common practice

USUAL = """
drilling:
  hand: right
  grip:
    middle:
      {span: 4 3/8, diameter: 25/32, depth: 2.5, insert: {bore: 31/32, depth: 1.25, density: 1.1}}
    ring:
      {span: 4 5/16, diameter: 3/4, depth: 2.5, insert: {bore: 31/32, depth: 1.25, density: 1.1}}
    bridge: 0.25
    thumb: {diameter: 1, depth: 2.75, bottom: {point: 118}, reverse: 1/8}
  axis_point: {over: 5, up: 1/2}
  layout: {pin_to_axis_point: 4, pin_to_val: 2, pin: above%s}
"""


@lru_cache
def usual(name: str) -> Drilled:
    text = shipped(name).read_text(encoding="utf-8")
    asymmetrical = "asymmetrical" in text
    found = drill(build_ball(read_design(text + USUAL % (MARK if asymmetrical else ""))))
    assert found is not None
    return found


@pytest.mark.parametrize("name", NAMES)
def test_a_usual_grip_takes_a_few_ounces(name: str) -> None:
    """About 2.5 oz (common practice, second-hand): 2 to 4.5 oz, by what the holes go into."""
    found = usual(name)
    ounces = (found.undrilled.mass_g - found.properties.mass_g) / 28.349523125
    assert 2.0 <= ounces <= 4.5


@pytest.mark.parametrize("name", NAMES)
def test_a_usual_grip_changes_radii_of_gyration_little(name: str) -> None:
    """By less than five per cent (common practice; no source), but not by nothing."""
    found = usual(name)
    change = np.abs(found.properties.principal.rg_mm / found.undrilled.principal.rg_mm - 1)
    assert change.max() < 0.05
    assert change.max() > 1e-4
