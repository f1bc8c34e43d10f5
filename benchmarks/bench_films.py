"""Films against bare rendering, and a second picture against the first, as ratios in one run."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from time import perf_counter

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from pipeline.arrange import Page, lay_out
from pipeline.ball import Ball, build_ball
from pipeline.film import Film, shoot_film
from pipeline.job import Meshes, said
from pipeline.load import load
from pipeline.render import job_of
from pipeline.shipped import shipped
from pipeline.view_list import VIEWS
from pipeline.weigh import weigh
from pipeline.wish import AS_IT_SUITS

FRAMES = 120
PAGE = Page(card=False)  # so that all of the picture is rendered
SIZE = (1920, 1080)
ROOT = Path(__file__).parents[1]
# The renderer's own physically based materials and as many lamps, at double size, unread.
THROWN_AWAY = """
import sys
from dataclasses import replace
from pathlib import Path
from pipeline.job import arrays_of, heard, numbers_in
from pipeline.studio import _choose_window
from pipeline.turning import orbited
_choose_window()
from vtkmodules.vtkRenderingCore import vtkLight, vtkRenderWindow
from pipeline.stage import Stage, _aim
place, frames = Path(sys.argv[1]), int(sys.argv[2])
line = (place / "job").read_text()
job = heard(line, {n: arrays_of(place, n) for n in numbers_in(line)})
stage = Stage(vtkRenderWindow())
stage._set(job)
stage._window.SetSize(2 * job.size[0], 2 * job.size[1])
for actor in stage._actors.values():
    actor.GetShaderProperty().ClearAllShaderReplacements()
    actor.GetProperty().SetInterpolationToPBR()
    actor.GetProperty().SetRoughness(0.42)
for lamp in job.lamps[1:]:
    light = vtkLight()
    light.SetLightTypeToCameraLight()
    light.SetPosition(*lamp.way)
    stage._solid.AddLight(light)
for k in range(frames):
    _aim(stage._solid, replace(job, camera=orbited(job.camera, 360.0 * k / frames)))
    stage._draw(stage._solid)
"""
FIRST_AND_SECOND = """
from time import perf_counter
start = perf_counter()
from dataclasses import replace
from pipeline.arrange import lay_out
from pipeline.ball import build_ball
from pipeline.load import load
from pipeline.render import Renderer, job_of
from pipeline.shipped import shipped
from pipeline.turning import orbited
from pipeline.view_list import VIEWS
from pipeline.weigh import weigh
from pipeline.wish import AS_IT_SUITS
ball = build_ball(load(shipped("dunlin")))
scene = VIEWS["cutaway"].draw(ball, weigh(ball), AS_IT_SUITS)
sheet = lay_out(scene, (1920, 1080))
with Renderer() as renderer:
    renderer.send(job_of(scene, sheet))
    renderer.fetch()
    first = perf_counter() - start
    start = perf_counter()
    renderer.send(job_of(replace(scene, camera=orbited(scene.camera, 30.0)), sheet))
    renderer.fetch()
    print(first, perf_counter() - start)
"""


@pytest.fixture(scope="module")
def ball() -> Ball:
    return build_ball(load(shipped("dunlin")))


def thrown_away(ball: Ball, place: Path) -> float:
    """Seconds to cut the ball and render frames of double size that nobody sees."""
    start = perf_counter()
    scene = VIEWS["cutaway"].draw(ball, weigh(ball), AS_IT_SUITS)
    job = job_of(scene, lay_out(scene, SIZE, PAGE))
    (place / "job").write_text(said(job, Meshes(place).numbers(job)))
    subprocess.run(
        [sys.executable, "-c", THROWN_AWAY, str(place), str(FRAMES)],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=True,
    )
    return perf_counter() - start


@pytest.mark.benchmark(group="films")
def test_a_turntable_takes_little_longer_than_its_bare_frames(
    benchmark: BenchmarkFixture, ball: Ball, tmp_path: Path
) -> None:
    bare = thrown_away(ball, tmp_path)
    film = Film(seconds=FRAMES / 30.0, fps=30, size=SIZE, page=PAGE)
    start = perf_counter()
    benchmark.pedantic(shoot_film, args=(ball, film, tmp_path / "film.mp4"), rounds=1)
    ratio = (perf_counter() - start) / bare
    benchmark.extra_info["times bare frames"] = round(ratio, 2)
    benchmark.extra_info["bare frames, s"] = round(bare, 1)
    assert ratio <= 1.25


def first_and_second() -> tuple[float, float]:
    """Seconds of the first picture of a new process, and of the second one of the same bodies."""
    done = subprocess.run(
        [sys.executable, "-c", FIRST_AND_SECOND],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=True,
        capture_output=True,
        text=True,
    )
    first, second = (float(word) for word in done.stdout.split())
    return first, second


@pytest.mark.benchmark(group="films")
def test_a_second_frame_takes_an_eighth_of_the_first(benchmark: BenchmarkFixture) -> None:
    first, second = benchmark.pedantic(first_and_second, rounds=1)
    benchmark.extra_info["first against second"] = round(first / second, 1)
    assert first / second >= 8.0
