"""The public stage: the same bytes every time, and a clear word about what cannot be drawn."""

from __future__ import annotations

import hashlib
import io
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest
from PIL import Image

from pipeline.ball import Ball, build_ball
from pipeline.errors import CorewrightError
from pipeline.load import load
from pipeline.picture import parse_size, picture
from pipeline.shipped import shipped
from pipeline.weigh import weigh

ROOT = Path(__file__).parents[2]
CODE = """
import sys
from pipeline.ball import build_ball
from pipeline.load import load
from pipeline.picture import picture
from pipeline.shipped import shipped
from pipeline.weigh import weigh
made = build_ball(load(shipped('turnstone')))
sys.stdout.buffer.write(picture(made, weigh(made), view='half', size=(640, 360)))
"""


@cache
def made(name: str) -> Ball:
    return build_ball(load(shipped(name)))


@pytest.fixture(scope="module")
def drawn() -> bytes:
    return picture(made("turnstone"), weigh(made("turnstone")), view="half", size=(640, 360))


@pytest.fixture(scope="module")
def drawn_elsewhere() -> subprocess.CompletedProcess[bytes]:
    """The same from a process that has no environment at all, so no display either."""
    return subprocess.run(
        [sys.executable, "-c", CODE],
        env={"PYTHONPATH": str(ROOT)},
        capture_output=True,
        timeout=120,
        check=True,
    )


def test_the_same_bytes_every_time(
    drawn: bytes, drawn_elsewhere: subprocess.CompletedProcess[bytes]
) -> None:
    here, there = (hashlib.sha256(b).hexdigest() for b in (drawn, drawn_elsewhere.stdout))
    assert here == there


def test_nothing_is_said_without_a_display(
    drawn_elsewhere: subprocess.CompletedProcess[bytes],
) -> None:
    assert drawn_elsewhere.stderr == b""


def test_the_file_holds_the_picture_alone(drawn: bytes) -> None:
    """No time, no name of a program."""
    assert Image.open(io.BytesIO(drawn)).info == {}


def test_without_background_it_has_the_size_asked_for_and_is_clear_in_part() -> None:
    ball = made("dunlin")
    image = Image.open(io.BytesIO(picture(ball, weigh(ball), size=(641, 361), transparent=True)))
    assert (image.size, image.mode) == ((641, 361), "RGBA")
    assert image.getchannel("A").getextrema() == (0, 255)


def test_an_unknown_view_is_refused_with_the_names_of_the_others() -> None:
    with pytest.raises(ValueError, match="cutaway, whole, ghost, half"):
        picture(made("dunlin"), weigh(made("dunlin")), view="sideways")


@pytest.mark.parametrize("size", [(200, 1080), (1920, 359), (8193, 1080), (0, 0), (-1, 500)])
def test_an_absurd_size_is_refused(size: tuple[int, int]) -> None:
    with pytest.raises(ValueError, match="from 360 to 8192"):
        picture(made("dunlin"), weigh(made("dunlin")), size=size)


def test_sizes_are_read() -> None:
    assert parse_size("1280X720") == parse_size("1280 x 720") == (1280, 720)


@pytest.mark.parametrize("text", ["1280", "wide", "12.5x7", "", "1_920x1_080"])
def test_what_is_no_size_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(CorewrightError, match="1920x1080"):
        parse_size(text)
