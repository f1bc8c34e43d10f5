"""A design whose varying numbers go from low to high and back, weighed anew in every frame."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from pipeline.ball import Ball, build_ball
from pipeline.design import FreeDensity
from pipeline.errors import CorewrightError, OutputError
from pipeline.samples import Line, values_of
from pipeline.scene import Camera, Scene
from pipeline.staging import scene_of
from pipeline.take import Asked, Caption, Take, there_and_back
from pipeline.vary import numbers_at, with_numbers
from pipeline.views import camera_for, ghosted
from pipeline.wanted import Varied
from pipeline.weigh import weigh
from pipeline.wish import Wish

STEPS = 1000  # of the way from low to high: frames at one place are one ball


def morph(asked: Asked) -> Take:
    """The take.

    Raises:
        OutputError: nothing in the design may vary, not what is asked for, or some ball on the way
            cannot be.
    """
    ball = asked.ball
    varied = numbers_of(ball, asked.wish)
    camera = camera_for(asked.properties, asked.wish)
    values = values_of(varied, Line(STEPS + 1, len(varied)), 0, STEPS + 1)

    @lru_cache(maxsize=4)
    def scene(step: int) -> Scene:
        numbers = [float(v) for v in values[step]]
        told = [_written(one, value) for one, value in zip(varied, numbers, strict=True)]
        try:
            other = build_ball(with_numbers(ball.design, numbers_at(varied, numbers)))
        except (CorewrightError, ValueError) as error:
            raise OutputError(
                f"{ball.design.name} cannot be filmed from low to high: there is no such ball at "
                f"{', '.join(f'{name} {value}' for name, value in told)} ({error})"
            ) from error
        return _scene(other, camera, told)

    def at(share: float) -> Scene:
        return scene(round(STEPS * there_and_back(share)))

    words = f"What becomes of the RGs when {_ranges(varied)}, and back."
    caption = Caption(0.0, 1.0, words)
    return Take(at, True, (caption,), (0.0, 0.25, 0.5), 0.5)


def numbers_of(ball: Ball, wish: Wish) -> tuple[Varied, ...]:
    """The numbers that go from low to high.

    Raises:
        OutputError: nothing in the design may vary, or not what is asked for.
    """
    varied = ball.design.wanted.varied
    if not varied:
        raise OutputError(
            f"nothing of {ball.design.name} may vary: give its design a vary section, such as\n"
            "vary:\n  - {part: inner core, field: size.z, from: 4.5, to: 5.5}"
        )
    return _chosen(varied, wish.number)


def _chosen(varied: tuple[Varied, ...], number: str | None) -> tuple[Varied, ...]:
    """The numbers that go from low to high: all, or the one that is asked for."""
    if number is None:
        return varied
    found = tuple(one for one in varied if one.name == number)
    if not found:
        names = ", ".join(f"'{one.name}'" for one in varied)
        raise OutputError(f"there is no '{number}' that may vary; those that may are {names}")
    return found


def _ranges(varied: tuple[Varied, ...]) -> str:
    """Each number with what it runs from and to."""
    return " and ".join(
        f"{one.name} goes from {_written(one, one.low)[1]} to {_written(one, one.high)[1]}"
        for one in varied
    )


def _written(one: Varied, value: float) -> tuple[str, str]:
    """A number that varies: its name, and its value with its unit."""
    return one.name, f"{value / one.size:.3f} {one.unit}".strip()


def _scene(ball: Ball, camera: Camera, told: list[tuple[str, str]]) -> Scene:
    what = "Weighed anew at every step."
    free = any(isinstance(m.density, FreeDensity) for m in ball.design.materials)
    if free and not any(name == "weight of the ball" for name, _ in told):
        what = f"{what[:-1]}; the free density keeps the ball at its weight."
    scene = scene_of(ball, weigh(ball), camera, ghosted(ball), (what,), reach_mm=ball.radius_mm)
    rows = tuple((name, value, "") for name, value in told)
    return replace(scene, figures=(*rows, *scene.figures))
