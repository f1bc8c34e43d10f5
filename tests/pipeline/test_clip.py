"""Which clips can be written, and what is said of those that cannot."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pipeline.clip import FORMATS, RATES_FPS, Clip, ClipRefused, check_clip, format_of

PLAIN = Clip((640, 360), 25, 50, transparent=False)
FILES = [suffix for suffix in FORMATS if suffix]


def refusal(name: str, clip: Clip) -> str:
    with pytest.raises(ClipRefused) as caught:
        check_clip(Path(name), clip)
    return str(caught.value)


@pytest.mark.parametrize("suffix", FORMATS)
def test_a_plain_clip_can_be_written_as_anything(suffix: str) -> None:
    assert check_clip(Path(f"film{suffix}"), PLAIN).suffix == suffix


def test_large_letters_say_the_same() -> None:
    assert format_of(Path("FILM.MP4")) is FORMATS[".mp4"]


def test_an_unknown_ending_is_answered_with_those_there_are() -> None:
    said = refusal("film.avi", PLAIN)
    assert "'.avi'" in said
    assert all(suffix in said for suffix in FILES)
    assert "folder of PNG files" in said


def test_the_duration_is_in_seconds() -> None:
    assert replace(PLAIN, fps=24, frames=60).duration_s == 2.5


@pytest.mark.parametrize("suffix", [".mov", ".webm", ".gif", ".apng", ""])
def test_what_carries_transparency(suffix: str) -> None:
    clip = replace(PLAIN, transparent=True)
    assert check_clip(Path(f"film{suffix}"), clip).transparent


def test_what_carries_none_is_answered_with_what_does() -> None:
    said = refusal("film.mp4", replace(PLAIN, transparent=True))
    assert "no transparency" in said
    assert all(suffix in said for suffix in (".mov", ".webm", ".gif", ".apng"))


@pytest.mark.parametrize("suffix", [".mp4", ".webm"])
def test_odd_sizes_are_answered_with_the_nearest_even_ones(suffix: str) -> None:
    said = refusal(f"film{suffix}", replace(PLAIN, size=(641, 359)))
    assert "width of 640 or 642 px" in said
    assert "height of 358 or 360 px" in said


@pytest.mark.parametrize("suffix", [".mov", ".gif", ".apng", ""])
def test_odd_sizes_are_kept_where_every_pixel_has_its_colour(suffix: str) -> None:
    assert not check_clip(Path(f"film{suffix}"), replace(PLAIN, size=(641, 359))).even


@pytest.mark.parametrize("fps", RATES_FPS)
@pytest.mark.parametrize("suffix", [suffix for suffix in FORMATS if suffix != ".gif"])
def test_every_rate_is_kept(suffix: str, fps: int) -> None:
    assert fps in check_clip(Path(f"film{suffix}"), replace(PLAIN, fps=fps)).rates_fps


@pytest.mark.parametrize("fps", [-25, 0, 1, 23, 29, 50, 120])
def test_other_rates_are_refused(fps: int) -> None:
    said = refusal("film.mp4", replace(PLAIN, fps=fps))
    assert f"{fps} frames per second" in said
    assert "24, 25, 30 or 60" in said


def test_a_gif_of_60_frames_per_second_is_refused_with_what_keeps_them() -> None:
    said = refusal("film.gif", replace(PLAIN, fps=60))
    assert "24, 25 or 30" in said
    assert ".mp4" in said


@pytest.mark.parametrize("frames", [0, -1])
def test_a_clip_has_frames(frames: int) -> None:
    assert f"{frames} frames" in refusal("film.mp4", replace(PLAIN, frames=frames))


@pytest.mark.parametrize("suffix", [".gif", ".apng"])
@pytest.mark.parametrize("size", [(1282, 720), (720, 1282)])
def test_what_is_of_small_use_stays_small(suffix: str, size: tuple[int, int]) -> None:
    said = refusal(f"film{suffix}", replace(PLAIN, size=size))
    assert "at most 1280 px" in said
    assert ".mp4, .mov or .webm" in said


@pytest.mark.parametrize("suffix", FORMATS)
def test_nothing_is_larger_than_what_can_be_drawn(suffix: str) -> None:
    assert "too large" in refusal(f"film{suffix}", replace(PLAIN, size=(8194, 4000)))


@pytest.mark.parametrize("size", [(14, 360), (640, 0)])
def test_nothing_is_smaller_than_a_block(size: tuple[int, int]) -> None:
    assert "at least 16 px" in refusal("film.mp4", replace(PLAIN, size=size))


def test_every_reason_is_told_at_once() -> None:
    said = refusal("film.mp4", Clip((641, 360), 50, 0, transparent=True)).splitlines()
    assert len(said) == 4
    assert all(line.startswith("film.mp4: ") for line in said)
