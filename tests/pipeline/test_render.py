"""Renders: areas as the sphere has them, colours as the parts have them, failures told."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import pi

import numpy as np
import pytest

import pipeline.render
from pipeline.arrange import lay_out
from pipeline.ball import build_ball
from pipeline.errors import OutputError, SystemLibraryError
from pipeline.load import read_design
from pipeline.palette import rgb
from pipeline.render import Renderer, job_of, render
from pipeline.scene import Camera, Scene
from pipeline.sheet import Sheet
from pipeline.view_list import VIEWS
from pipeline.weigh import weigh
from pipeline.wish import AS_IT_SUITS
from tests.pipeline.plain_scene import plain_scene


@pytest.fixture(scope="module")
def section() -> tuple[Scene, Sheet, np.ndarray]:
    """The half view of spheres within spheres, without axes: pixels of the stage."""
    made = build_ball(
        read_design(
            "format: corewright 1\nname: Rings\nrevision: A\nunits: in\nball: {diameter: 8.55}\n"
            "materials: {a: {density: 2}, b: {density: 1}}\nparts:\n"
            "  - {name: inner core, material: a, shape: sphere, diameter: 4}\n"
            "  - {name: outer core, material: b, shape: sphere, diameter: 7}\n"
            "  - {name: cover, material: a, shape: sphere, diameter: 8.55}\n"
        )
    )
    scene = replace(VIEWS["half"].draw(made, weigh(made), AS_IT_SUITS), axes=())
    sheet = lay_out(scene, (640, 480))
    return scene, sheet, render(scene, sheet).ball


def test_the_outline_has_the_area_of_the_sphere(
    section: tuple[Scene, Sheet, np.ndarray],
) -> None:
    """The area is pi R^2, to a tenth of a pixel of the radius."""
    scene, sheet, pixels = section
    radius = scene.reach_mm * sheet.px_per_mm
    area = float(pixels[..., 3].sum()) / 255.0
    assert (area / pi) ** 0.5 == pytest.approx(radius, abs=0.1)


def test_every_part_covers_its_area_in_its_own_colour(
    section: tuple[Scene, Sheet, np.ndarray],
) -> None:
    """Its section has pi (R^2 - r^2); a twelfth of it is hatched darker."""
    scene, sheet, pixels = section
    colours = pixels[..., :3].astype(int)
    for entry, (outer, inner) in zip(
        scene.legend, ((2.0, 0.0), (3.5, 2.0), (4.275, 3.5)), strict=True
    ):
        near = np.abs(colours - np.array(rgb(entry.colour)) * 255.0).max(axis=-1) < 45.0
        due = pi * (outer**2 - inner**2) * sheet.scale.px_per_in**2
        assert near.sum() == pytest.approx(due, rel=0.05)


@pytest.mark.parametrize(("size", "times"), [((1920, 1080), 2), ((6000, 4000), 1)])
def test_small_pictures_are_drawn_at_twice_their_size(size: tuple[int, int], times: int) -> None:
    scene = plain_scene()
    sheet = lay_out(scene, size)
    assert job_of(scene, sheet).fine == times


def test_the_middle_of_the_job_is_the_middle_of_the_stage() -> None:
    scene = plain_scene()
    sheet = lay_out(scene, (1280, 720))
    right, up = job_of(scene, sheet).middle_mm
    at = sheet.at(scene, np.array([0.0, right, up]))
    stage = sheet.stage
    assert at == pytest.approx(((stage.left + stage.right) / 2, (stage.top + stage.bottom) / 2))


@pytest.mark.parametrize(
    ("status", "error", "says"),
    [
        (-11, OutputError, "signal 11"),
        (1, OutputError, "last words"),
        (3, SystemLibraryError, "last words|install"),
    ],
)
def test_a_renderer_that_dies_is_told_and_harms_nothing(
    monkeypatch: pytest.MonkeyPatch, status: int, error: type[Exception], says: str
) -> None:
    end = f"os.kill(os.getpid(), {-status})" if status < 0 else f"sys.exit({status})"
    code = f"import os, sys; print('noise\\nlast words', file=sys.stderr, flush=True); {end}"
    monkeypatch.setattr(pipeline.render, "_CODE", code)
    with pytest.raises(error, match=says):
        render(plain_scene(), lay_out(plain_scene(), (640, 360)))


def test_a_renderer_that_hangs_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pipeline.render, "_CODE", "import time; time.sleep(60)")
    monkeypatch.setattr(pipeline.render, "_PATIENCE_S", 0.4)
    with pytest.raises(OutputError, match=r"did not finish within 1 s"):
        render(plain_scene(), lay_out(plain_scene(), (640, 360)))


def test_a_renderer_that_says_much_does_not_hang(monkeypatch: pytest.MonkeyPatch) -> None:
    """More than a pipe holds, before it dies."""
    code = "import sys; print('noise\\n' * 100_000, file=sys.stderr); sys.exit(1)"
    monkeypatch.setattr(pipeline.render, "_CODE", code)
    with pytest.raises(OutputError, match="noise"):
        render(plain_scene(), lay_out(plain_scene(), (640, 360)))


def test_one_renderer_draws_two_pictures_as_two_renderers_do() -> None:
    """The second has another camera; nothing of the first is left in it."""
    scene = plain_scene()
    other = replace(scene, camera=Camera(30.0, 10.0))
    sheets = [lay_out(one, (480, 360)) for one in (scene, other)]
    alone = render(other, sheets[1])
    with Renderer() as renderer:
        renderer.send(job_of(scene, sheets[0]))
        renderer.fetch()
        renderer.send(job_of(other, sheets[1]))
        after = renderer.fetch()
        assert np.array_equal(after.ball, alone.ball)
        assert np.array_equal(after.over, alone.over)


def test_jobs_may_be_sent_ahead() -> None:
    """Two jobs wait; what is fetched first is what was sent first."""
    scene = plain_scene()
    bare = replace(scene, axes=())
    sheet = lay_out(scene, (480, 360))
    with Renderer() as renderer:
        renderer.send(job_of(scene, sheet))
        renderer.send(job_of(bare, sheet))
        first, second = renderer.fetch(), renderer.fetch()
        assert first.over.any()
        assert not second.over.any()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="others always have a window")
def test_without_a_window_to_draw_in_the_lack_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """VTK falls back to a window that crashes; it is asked for here at once."""
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.setenv("VTK_DEFAULT_OPENGL_WINDOW", "vtkOSOpenGLRenderWindow")
    with pytest.raises(SystemLibraryError, match=r"neither EGL nor an X server|install"):
        render(plain_scene(), lay_out(plain_scene(), (640, 360)))
