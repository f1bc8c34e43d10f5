"""What a shot's files are called, and where a storyboard's files are."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.storyboard import ShotPlan, Storyboard
from pipeline.wish import AS_IT_SUITS


def plan(move: str, ending: str) -> ShotPlan:
    return ShotPlan(
        "03-its-axes", "", move, None, ending, "shore", (640, 360), 30, AS_IT_SUITS, (), False,
        False, True, True, "", 7,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("move", "ending", "file"),
    [
        ("", "png", "03-its-axes.png"),
        ("spins", "mp4", "03-its-axes.mp4"),
        ("spins", "gif", "03-its-axes.gif"),
        ("spins", "png", "03-its-axes"),  # a folder of pictures
    ],
)
def test_a_shot_names_its_file(move: str, ending: str, file: str) -> None:
    assert plan(move, ending).file == file


def test_what_it_names_lies_beside_it() -> None:
    board = Storyboard("dunlin.yaml", "", (plan("", "png"),), "shows/one.yaml", b"")
    assert board.folder / board.design == Path("shows/dunlin.yaml")
