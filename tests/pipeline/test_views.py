"""The views: what each shows, what it leaves out and says so."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from pipeline.ball import Ball, build_ball
from pipeline.errors import OutputError
from pipeline.load import load, read_design
from pipeline.scene import Scene
from pipeline.shipped import shipped
from pipeline.view_list import VIEWS
from pipeline.weigh import ErrorBound, weigh
from pipeline.wish import AS_IT_SUITS
from tests.pipeline.uniform_text import UNIFORM


@cache
def made(name: str) -> Ball:
    return build_ball(load(shipped(name)))


def scene(view: str, ball: Ball) -> Scene:
    return VIEWS[view].draw(ball, weigh(ball), AS_IT_SUITS)


@cache
def drawn(view: str, name: str) -> Scene:
    return scene(view, made(name))


@pytest.mark.parametrize("view", ["cutaway", "half"])
def test_the_high_axis_is_to_the_right_and_the_low_one_up(view: str) -> None:
    scene = drawn(view, "turnstone")
    low, _, high = (scene.camera.project(a.path_mm[1] - a.path_mm[0]) for a in scene.axes)
    assert high[0] > 50.0
    assert low[1] > 80.0


@pytest.mark.parametrize(("view", "least"), [("cutaway", 0.3), ("half", 0.999)])
def test_cut_faces_look_at_the_viewer(view: str, least: float) -> None:
    scene = drawn(view, "turnstone")
    toward = scene.camera.axes()[2]
    assert min(float(s.normals[0] @ toward) for s in scene.surfaces if s.finish == "cut") > least


@pytest.mark.parametrize("name", ["dunlin", "godwit", "turnstone"])
def test_the_half_view_shows_every_part_in_its_colour(name: str) -> None:
    scene = drawn("half", name)
    assert all(entry.seen for entry in scene.legend)
    assert {part.colour for part in made(name).parts} <= {s.colour for s in scene.surfaces}


@pytest.mark.parametrize("name", ["dunlin", "turnstone"])
def test_the_core_view_says_what_it_leaves_out(name: str) -> None:
    hidden = [entry.name for entry in drawn("core", name).legend if not entry.seen]
    assert hidden[-2:] == ["outer core", "cover"]


def test_the_core_view_has_no_pin_for_the_ball_is_not_there() -> None:
    assert [mark.kind for mark in drawn("core", "turnstone").marks] == ["cg"]


def test_a_ball_without_a_core_has_no_core_view() -> None:
    uniform = build_ball(read_design(UNIFORM))
    with pytest.raises(OutputError, match="no core"):
        scene("core", uniform)


def test_a_uniform_ball_has_no_axis_and_one_rg() -> None:
    uniform = build_ball(read_design(UNIFORM))
    found = scene("cutaway", uniform)
    assert found.axes == ()
    assert found.figures[1][0] == "RG, any axis"


def test_no_digit_beyond_the_bound() -> None:
    """A bound of 0.25 mm, a hundredth of an inch, leaves one decimal of inches."""
    rough = replace(weigh(made("dunlin")), bound=ErrorBound(100.0, 0.25))
    rows = VIEWS["half"].draw(made("dunlin"), rough, AS_IT_SUITS).figures
    figure = next(value for name, value, _ in rows if name == "low RG")
    assert len(figure.split()[0].partition(".")[2]) <= 1
