"""Films against bare rendering, and a second picture against the first, as ratios in one run."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from time import perf_counter

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from pipeline.arrange import Page, lay_out
from pipeline.ball import Ball, build_ball
from pipeline.film import Film, shoot_film
from pipeline.job import Meshes, said
from pipeline.load import load
from pipeline.render import Renderer, job_of
from pipeline.shipped import shipped
from pipeline.turning import orbited
from pipeline.view_list import VIEWS
from pipeline.weigh import weigh
from pipeline.wish import AS_IT_SUITS

FRAMES = 120
PAGE = Page(card=False)  # so that all of the picture is rendered
SIZE = (1920, 1080)
ROOT = Path(__file__).parents[1]
THROWN_AWAY = """
import sys
from dataclasses import replace
from pathlib import Path
from pipeline.job import arrays_of, heard, numbers_in
from pipeline.studio import _choose_window
from pipeline.turning import orbited
_choose_window()
from vtkmodules.vtkRenderingCore import vtkRenderWindow
from pipeline.stage import Stage, _aim
place, frames = Path(sys.argv[1]), int(sys.argv[2])
line = (place / "job").read_text()
job = heard(line, {n: arrays_of(place, n) for n in numbers_in(line)})
stage = Stage(vtkRenderWindow())
stage.shoot(job)
for k in range(1, frames):
    _aim(stage._solid, replace(job, camera=orbited(job.camera, 360.0 * k / frames)))
    stage._draw(stage._solid)
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


@pytest.mark.benchmark(group="films")
def test_a_second_frame_takes_an_eighth_of_the_first(
    benchmark: BenchmarkFixture, ball: Ball
) -> None:
    start = perf_counter()
    scene = VIEWS["cutaway"].draw(ball, weigh(ball), AS_IT_SUITS)
    sheet = lay_out(scene, SIZE)
    with Renderer() as renderer:
        renderer.send(job_of(scene, sheet))
        renderer.fetch()
        first = perf_counter() - start

        def again(turn: float = 30.0) -> None:
            other = replace(scene, camera=orbited(scene.camera, turn))
            renderer.send(job_of(other, sheet))
            renderer.fetch()

        start = perf_counter()
        again()
        ratio = first / (perf_counter() - start)
        benchmark.pedantic(again, rounds=5)
    benchmark.extra_info["first against second"] = round(ratio, 1)
    assert ratio >= 8.0
