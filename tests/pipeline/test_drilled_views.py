"""The views of a drilled ball as scenes: what is named, what is cut, what is refused."""

from __future__ import annotations

import io
from functools import cache

import numpy as np
import pytest
from PIL import Image

from pipeline.drilled import Drilled
from pipeline.drilled_views import DRILLED_VIEWS, _camera
from pipeline.errors import OutputError
from pipeline.flare import EXPLANATION
from pipeline.picture import picture_drilled
from pipeline.scene import Scene
from shapes.moments import Array
from tests.pipeline.drilled_text import (
    GRIP,
    HOLE,
    PLAIN,
    RADIUS,
    ROUND,
    drilled,
    holes,
    swapped,
)

ROUND_CORE = "shape: sphere, diameter: 4"
SHALLOW = swapped(HOLE, ("depth: 2.5", "depth: 0.5"))
BACK = swapped(HOLE, ("30 deg", "210 deg"), ("name: thumb, use: thumb", "name: back, use: finger"))
FAR = swapped(BACK, ("use: finger", "use: vent"))  # no grip: the viewer is in front of the thumb
LEFT = swapped(GRIP, ("hand: right", "hand: left"))
BALLS = {
    "grip": (GRIP, ROUND),
    "left": (LEFT, ROUND),
    "two holes": (holes(HOLE, BACK), ROUND_CORE),
    "far": (holes(HOLE, FAR), ROUND_CORE),
    "shallow": (holes(SHALLOW), ROUND_CORE),
    "no core": (holes(HOLE), PLAIN),
}
OUTSIDE = [("drilled", "grip"), ("rings", "grip"), ("drilled", "far")]


@cache
def made(name: str) -> Drilled:
    return drilled(*BALLS[name])


@cache
def scene(view: str, name: str) -> Scene:
    return DRILLED_VIEWS[view](made(name))


def words(view: str, name: str) -> list[str]:
    return [label.lines[0] for label in scene(view, name).labels]


def toward(view: str, name: str) -> Array:
    return np.asarray(scene(view, name).camera.axes()[2])


def refused(view: str, name: str) -> str:
    with pytest.raises(OutputError) as told:
        DRILLED_VIEWS[view](made(name))
    return str(told.value)


@pytest.fixture(scope="module")
def section() -> Image.Image:
    """The middle of the section through both holes, without the legend at its side."""
    image = picture_drilled(made("two holes"), view="bored", size=(640, 400))
    return Image.open(io.BytesIO(image)).convert("RGB").crop((220, 0, 640, 400))


@pytest.fixture(scope="module")
def outside() -> Image.Image:
    image = picture_drilled(made("two holes"), view="drilled", size=(640, 400))
    return Image.open(io.BytesIO(image)).convert("RGB").crop((220, 0, 640, 400))


def share_of(colour: str, image: Image.Image) -> float:
    """How much of a picture is of a colour's hue, whatever the light."""
    due = np.array([int(colour[k : k + 2], 16) for k in (1, 3, 5)], dtype=float)
    pixels = np.asarray(image, dtype=float).reshape(-1, 3)
    pixels = pixels - pixels.min(axis=1, keepdims=True)
    due = due - due.min()
    size = np.linalg.norm(pixels, axis=1)
    close = pixels @ due > 0.98 * size * np.linalg.norm(due)
    return float((close & (size > 25.0)).mean())


@pytest.mark.parametrize("view", ["drilled", "rings"])
def test_every_hole_that_faces_the_viewer_is_named_once(view: str) -> None:
    out = toward(view, "grip")
    near = [h.name for h in made("grip").holes if h.entry_mm @ out > 0.1 * RADIUS]
    assert near
    assert [word for word in words(view, "grip") if word in near] == near


def test_a_hole_on_the_far_side_is_not_named() -> None:
    assert [w for w in words("drilled", "far") if w in ("thumb", "back")] == ["thumb"]


@pytest.mark.parametrize(("view", "name"), OUTSIDE)
def test_no_label_is_on_the_far_side(view: str, name: str) -> None:
    depths = [label.at_mm @ toward(view, name) for label in scene(view, name).labels]
    assert min(depths) > 0.0


@pytest.mark.parametrize(("view", "name"), OUTSIDE)
def test_no_mark_is_on_the_far_side(view: str, name: str) -> None:
    shown = scene(view, name).marks
    assert shown
    assert min(mark.at_mm @ toward(view, name) for mark in shown) > 0.0


@pytest.mark.parametrize(("view", "name"), OUTSIDE[:2])
def test_labels_lie_on_the_surface(view: str, name: str) -> None:
    far = [float(np.linalg.norm(label.at_mm)) for label in scene(view, name).labels]
    assert far == pytest.approx([RADIUS] * len(far), abs=1e-6)


@pytest.mark.parametrize(("view", "name"), OUTSIDE)
def test_no_line_runs_over_a_hole(view: str, name: str) -> None:
    assert scene(view, name).threads
    for hole in made(name).holes:
        for thread in scene(view, name).threads:
            assert not hole.bore().contains(thread.path_mm / 1.0015).any(), hole.name


def test_a_line_over_a_hole_is_cut_in_two() -> None:
    """The centreline runs through the thumb hole, so no piece of it is whole."""
    centre, right, _ = made("grip").laid.frame.T  # type: ignore[union-attr]
    pieces = [
        t for t in scene("drilled", "grip").threads
        if not t.dashed and np.abs(t.path_mm @ right).max() < 1e-6
    ]  # fmt: skip
    assert len(pieces) >= 2
    assert all(np.linalg.norm(t.path_mm[0] - t.path_mm[-1]) > 1.0 for t in pieces)
    assert centre @ right == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(("view", "name"), OUTSIDE)
def test_lines_lie_a_hair_above_the_surface(view: str, name: str) -> None:
    for thread in scene(view, name).threads:
        out = np.linalg.norm(thread.path_mm, axis=1) - RADIUS
        assert 0.0 < out.min() <= out.max() < 0.3


@pytest.mark.parametrize(("name", "side"), [("grip", 1.0), ("left", -1.0)])
def test_the_view_is_turned_from_the_grip_towards_the_axis_point(name: str, side: float) -> None:
    """A right hand's axis point is to the right of its grip, a left hand's to the left."""
    right, up, out = _camera(made(name)).axes()
    centre, axis = made(name).laid.grip_centre, made(name).laid.axis_point
    assert centre is not None
    assert axis is not None
    assert min(centre @ out, axis @ out) > 0.3
    assert np.sign((axis - centre) @ right) == side
    frame = made(name).laid.frame
    assert frame is not None
    assert frame[:, 2] @ up > 0.9


def test_grip_lines_and_marks_are_named_from_outside() -> None:
    assert {"centreline", "midline", "vertical axis line", "axis point", "pin"} <= set(
        words("drilled", "grip")
    )


def test_rings_have_their_names_and_explanation() -> None:
    assert {"track rings", "way of the axis"} <= set(words("rings", "grip"))
    assert any(EXPLANATION in note for note in scene("rings", "grip").notes)


def test_the_section_names_the_holes_that_it_runs_along() -> None:
    assert words("bored", "two holes") == ["CG", "thumb", "back"]
    assert any("thumb and back" in note for note in scene("bored", "two holes").notes)


def test_the_section_is_square_to_the_view_and_through_both_holes() -> None:
    out = toward("bored", "two holes")
    off = [hole.entry_mm @ out for hole in made("two holes").holes]
    assert off == pytest.approx([0.0, 0.0], abs=1e-5)


def test_the_section_is_cut_through_the_balls_centre() -> None:
    out = toward("bored", "two holes")
    cut = [s for s in scene("bored", "two holes").surfaces if s.finish == "cut"]
    assert cut
    for surface in cut:
        assert surface.points_mm @ out == pytest.approx(0.0, abs=0.05)
        assert (surface.normals @ out).min() > 0.999


def test_the_section_leaves_nothing_in_front_of_it() -> None:
    out = toward("bored", "two holes")
    front = [float((s.points_mm @ out).max()) for s in scene("bored", "two holes").surfaces]
    assert max(front) < 0.05


def test_the_holes_are_open_in_the_section() -> None:
    """No cut face covers the middle of a hole, but all round it."""
    holes_there = made("two holes").holes
    cut = [s for s in scene("bored", "two holes").surfaces if s.finish == "cut"]
    for surface in cut:
        middles = surface.points_mm[surface.triangles].mean(axis=1)
        for hole in holes_there:
            inside = np.linalg.norm(np.cross(middles - hole.entry_mm, hole.way), axis=1) < (
                0.8 * hole.drill.diameter_mm / 2.0
            )
            along = (middles - hole.entry_mm) @ hole.way
            assert not (inside & (along < hole.drill.depth_mm - 1.0) & (along > 0.0)).any()


def test_the_section_names_only_two_of_a_grip_s_holes() -> None:
    assert words("bored", "grip")[1:] == ["thumb", "middle"]


def test_what_was_taken_is_named_by_its_hole_with_its_weight() -> None:
    lines = [label.lines for label in scene("taken", "two holes").labels]
    assert [line[0] for line in lines] == ["thumb", "back"]
    assert all(line[1].endswith(" oz") for line in lines)


def test_what_was_taken_leaves_the_cover_out() -> None:
    found = scene("taken", "two holes")
    assert [entry.name for entry in found.legend if not entry.seen] == ["cover"]


def test_what_was_taken_is_all_within_reach() -> None:
    found = scene("taken", "two holes")
    reach = max(float(np.linalg.norm(s.points_mm, axis=1).max()) for s in found.surfaces)
    assert found.reach_mm == pytest.approx(reach)


def test_without_an_axis_point_there_are_no_rings() -> None:
    assert "no axis point to turn about" in refused("rings", "two holes")


@pytest.mark.parametrize("name", ["shallow", "no core"])
def test_where_no_hole_meets_a_core_there_is_nothing_taken(name: str) -> None:
    assert "no hole of Dunlin meets a core" in refused("taken", name)


def test_every_view_says_that_the_ball_is_drilled() -> None:
    found = scene("bored", "two holes")
    assert (found.name, found.revision) == ("Dunlin", "A, drilled")


@pytest.mark.parametrize("part", [0, 1])
def test_the_picture_of_the_section_has_the_colour_of_core_and_cover(
    section: Image.Image, part: int
) -> None:
    colour = made("two holes").ball.parts[part].colour
    assert share_of(colour, section) > 0.08


@pytest.mark.parametrize(("part", "least", "most"), [(0, 0.0, 0.01), (1, 0.25, 1.0)])
def test_the_picture_from_outside_has_the_colour_of_the_cover_alone(
    outside: Image.Image, part: int, least: float, most: float
) -> None:
    colour = made("two holes").ball.parts[part].colour
    assert least <= share_of(colour, outside) <= most
