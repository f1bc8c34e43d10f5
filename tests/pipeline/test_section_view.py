"""The section with its dimensions: sizes in closed form, and lines as long as their words say.

Words have three decimals, so they may be off by half of the third one, and by the 1e-4 mm to which
the kernel's bounds are tight.
"""

from __future__ import annotations

from functools import cache
from math import cos, radians, sin

import numpy as np
import pytest

from pipeline.arrange import Page, lay_out
from pipeline.ball import Ball, build_ball
from pipeline.load import load, read_design
from pipeline.looks import SHORE
from pipeline.paint import labels_of
from pipeline.scene import Dimension, Scene
from pipeline.section_view import section
from pipeline.shipped import shipped
from pipeline.weigh import weigh
from pipeline.wish import AS_IT_SUITS, Wish
from tests.pipeline.uniform_text import UNIFORM

IN = 25.4
WRITTEN = 0.00051  # in
SPHERES = """
format: corewright 1
name: Rings
revision: A
units: in
ball: {diameter: 8.5}
materials: {a: {density: 2}, b: {density: 1}}
parts:
  - {name: core, material: a, shape: sphere, diameter: 4, move: [0, 0, 0.25]}
  - {name: twin, material: b, shape: sphere, diameter: 7}
  - {name: cover, material: a, shape: sphere, diameter: 8.5}
"""
OVAL = """
format: corewright 1
name: Oval
revision: A
units: in
ball: {diameter: 8.5}
materials: {a: {density: 2}, b: {density: 1}}
parts:
  - name: core
    material: a
    shape: ellipsoid
    size: [3, 4, 5]
    tilt: {by: 25, toward: 40}
  - {name: cover, material: b, shape: sphere, diameter: 8.5}
"""
TEXTS = {"spheres": SPHERES, "oval": OVAL, "plain": UNIFORM}
# The leaning block's half height: the inner box's corner, thrown on the upright, and the rounding
# (support function of a box grown by a ball; from memory).
BLOCK_HALF = (4.115 / 2 - 0.7) * sin(radians(4.0)) + (5.05 / 2 - 0.7) * cos(radians(4.0)) + 0.7


@cache
def made(name: str) -> Ball:
    return build_ball(read_design(TEXTS[name]) if name in TEXTS else load(shipped(name)))


@cache
def drawn(name: str) -> Scene:
    return section(made(name), weigh(made(name)), AS_IT_SUITS)


def upright(dimension: Dimension) -> bool:
    return abs(float(np.ptp(dimension.line_mm[:, 2]))) > 1e-6


def lengths(scene: Scene, *, high: bool) -> list[float]:
    """As they are written, in; from below upwards, or from the narrowest on."""
    assert all(d.words.endswith(" in") for d in scene.dimensions)
    return [float(d.words[:-3]) for d in scene.dimensions if upright(d) is high]


@pytest.mark.parametrize(
    ("name", "due"),
    [
        ("dunlin", [4.4, 7.05, 8.55]),  # twice 2.2, the foot; the spheres
        ("turnstone", [3.55, 7.05, 8.55]),  # it leans square to the section's right
        ("spheres", [4.0, 7.0, 8.5]),
        ("plain", [8.55]),
    ],
)
def test_widths_are_the_parts_own(name: str, due: list[float]) -> None:
    assert lengths(drawn(name), high=False) == pytest.approx(due, abs=WRITTEN)


@pytest.mark.parametrize(
    ("name", "due"),
    [
        # the profile from -2.635 to 2.88, moved up by 0.4, in a ball of 8.55
        ("dunlin", [4.275 - 2.235, 5.515, 4.275 - 3.28]),
        ("turnstone", [4.275 + 0.1 - BLOCK_HALF, 2 * BLOCK_HALF, 4.275 - 0.1 - BLOCK_HALF]),
        ("spheres", [4.25 - 1.75, 4.0, 4.25 - 2.25]),
        ("plain", []),
    ],
)
def test_heights_are_the_core_s_and_what_is_below_and_above(name: str, due: list[float]) -> None:
    assert lengths(drawn(name), high=True) == pytest.approx(due, abs=WRITTEN)


def test_lengths_are_those_across_the_view() -> None:
    """An ellipsoid's extent along n is 2 sqrt(n A n), A = R diag(a2) R^T; from memory.

    Its section is narrower: lengths are overall ones, as the picture says.
    """
    scene = drawn("oval")
    by, toward = radians(25.0), radians(40.0)

    def about_z(a: float) -> np.ndarray:
        return np.array([[cos(a), -sin(a), 0], [sin(a), cos(a), 0], [0, 0, 1]])

    lean = np.array([[cos(by), 0, sin(by)], [0, 1, 0], [-sin(by), 0, cos(by)]])
    turn = about_z(toward) @ lean @ about_z(-toward)
    form = turn @ np.diag([1.5**2, 2.0**2, 2.5**2]) @ turn.T
    right, up, _ = scene.camera.axes()
    wide, high = (2.0 * float(np.sqrt(way @ form @ way)) for way in (right, up))
    assert lengths(scene, high=False)[0] == pytest.approx(wide, abs=WRITTEN)
    assert lengths(scene, high=True)[1] == pytest.approx(high, abs=WRITTEN)


@pytest.mark.parametrize("name", ["dunlin", "turnstone", "spheres", "oval"])
def test_heights_add_up_to_the_ball_s(name: str) -> None:
    """Each may be off by half of its last decimal."""
    whole = made(name).design.diameter_mm / IN
    assert sum(lengths(drawn(name), high=True)) == pytest.approx(whole, abs=3 * WRITTEN)


@pytest.mark.parametrize("name", ["dunlin", "turnstone", "spheres", "oval"])
@pytest.mark.parametrize("size", [(1920, 1080), (480, 640)])
def test_lines_are_as_long_on_the_picture_as_they_say(name: str, size: tuple[int, int]) -> None:
    """In pixels over pixels a millimetre."""
    scene = drawn(name)
    sheet = lay_out(scene, size)
    for one in scene.dimensions:
        a, b = (np.array(sheet.at(scene, end)) for end in one.line_mm)
        long_in = float(np.linalg.norm(b - a)) / sheet.px_per_mm / IN
        assert long_in == pytest.approx(float(one.words[:-3]), abs=WRITTEN)


@pytest.mark.parametrize("number", range(3))
def test_a_line_is_painted_from_head_to_head(number: int) -> None:
    """A width's ink on its own row, with its words in the middle of it.

    To a pixel and a half at each end, where half of the line's breadth that runs out to it is, too.
    """
    scene = drawn("spheres")
    sheet = lay_out(scene, (960, 720), Page(card=False))
    widths = [one for one in scene.dimensions if not upright(one)]
    alone = Scene(**{**vars(scene), "dimensions": (widths[number],)})
    ink = np.asarray(labels_of(alone, sheet, SHORE))[..., 3]
    left, right = (sheet.at(scene, end) for end in widths[number].line_mm)
    (columns,) = np.nonzero(ink[int(left[1])])
    assert (columns.min(), columns.max() + 1) == pytest.approx((left[0], right[0]), abs=1.5)


@pytest.mark.parametrize("name", ["dunlin", "turnstone", "spheres", "oval"])
def test_a_line_runs_beside_what_it_measures(name: str) -> None:
    """Its ends lie square off the ends of what is measured, beyond the ball."""
    scene, radius = drawn(name), made(name).radius_mm
    right, up, _ = scene.camera.axes()
    for one in scene.dimensions:
        along, off = (up, right) if upright(one) else (right, -up)
        for end, measured in zip(one.line_mm, (one.from_mm, one.to_mm), strict=True):
            assert end @ along == pytest.approx(measured @ along, abs=1e-9)
            assert end @ off > radius


def test_lines_keep_off_one_another() -> None:
    """From row to row there is room for the words: a twentieth of the ball's diameter and more."""
    scene, radius = drawn("turnstone"), made("turnstone").radius_mm
    rows = sorted(float(d.line_mm[0, 2]) for d in scene.dimensions if not upright(d))
    assert np.diff(rows).min() > 0.1 * radius


def test_a_length_that_two_parts_have_is_written_once() -> None:
    """A core as wide as another part in it."""
    text = SPHERES.replace("  - {name: twin", "  - {name: same, material: b, shape: cylinder, "
                           "diameter: 4, height: 5}\n  - {name: twin")  # fmt: skip
    ball = build_ball(read_design(text))
    widths = lengths(section(ball, weigh(ball), AS_IT_SUITS), high=False)
    assert widths == pytest.approx([4.0, 7.0, 8.5], abs=WRITTEN)


def test_the_viewer_stands_level_and_square_to_the_section() -> None:
    """From wherever it is asked, since lengths are true only square to the view."""
    scene = section(made("oval"), weigh(made("oval")), Wish(from_deg=33.0))
    faces = [s for s in scene.surfaces if s.finish == "cut"]
    assert scene.camera.azimuth_deg == 33.0
    assert min(float(s.normals[0] @ scene.camera.axes()[2]) for s in faces) > 0.999999


def test_a_poured_part_may_be_called_core() -> None:
    """What is poured round the inner core is measured by itself, whatever its name."""
    text = SPHERES.replace("name: core", "name: kernel").replace("name: twin", "name: core")
    ball = build_ball(read_design(text))
    scene = section(ball, weigh(ball), AS_IT_SUITS)
    assert lengths(scene, high=False) == pytest.approx([4.0, 7.0, 8.5], abs=WRITTEN)
