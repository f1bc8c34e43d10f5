"""A frame is the same whatever was drawn before it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pipeline.figure_views import sphere_mesh
from pipeline.job import Job
from pipeline.looks import SHORE
from pipeline.render import Renderer
from pipeline.scene import Camera, Surface

POINTS, TRIANGLES = sphere_mesh()


def globe(radius_mm: float, colour: str) -> Surface:
    return Surface(radius_mm * POINTS, POINTS, TRIANGLES, colour, "skin", opacity=0.4)


def test_clear_shells_are_mixed_inside_out_though_the_outer_one_was_there_before() -> None:
    """The cover stays from one frame to the next, and what it holds is new."""
    cover = globe(50.0, "#1F4E5F")
    first = Job((240, 240), 1, Camera(20.0, 10.0), (0.0, 0.0), 60.0, 200.0, "lit", SHORE.lamps,
                (globe(30.0, "#CFC9BC"), cover), ())  # fmt: skip
    second = replace(first, surfaces=(globe(40.0, "#B5482A"), cover))
    with Renderer() as renderer:
        renderer.send(first)
        renderer.fetch()
        renderer.send(second)
        after = np.array(renderer.fetch().ball)
    with Renderer() as renderer:
        renderer.send(second)
        assert np.array_equal(after, renderer.fetch().ball)
