"""WebVTT as an independent reader has it: ffmpeg's."""

from __future__ import annotations

import html
import re
import subprocess
from pathlib import Path

import imageio_ffmpeg
import pytest

from pipeline.subtitles import subtitles
from pipeline.take import Caption

THREE = [
    Caption(0.0, 1 / 3, "One: a < b & c > d."),
    Caption(1 / 3, 2 / 3, "Two --> a sign of the format."),
    Caption(2 / 3, 1.0, "Three: RG 2.545 in, 15 g/cm\u00b3."),
]


def read(text: str, folder: Path) -> list[tuple[str, str, str]]:
    """Start, end and words of each cue, as ffmpeg reads them and writes SubRip."""
    path = folder / "said.vtt"
    path.write_text(text, encoding="utf-8")
    done = subprocess.run(
        [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-nostdin", "-i", str(path), "-f", "srt",
         "-"],
        capture_output=True, check=True,
    )  # fmt: skip
    assert done.stderr == b""
    blocks = done.stdout.decode("utf-8").replace("\r", "").strip().split("\n\n")
    found = []
    for block in blocks:
        _, times, *words = block.split("\n")
        start, end = times.split(" --> ")
        found.append((start, end, "\n".join(words)))
    return found


def test_it_begins_as_the_format_has_it() -> None:
    assert subtitles(THREE, 9.0).startswith("WEBVTT\n\n")


def test_times_are_shares_of_the_clip(tmp_path: Path) -> None:
    times = [(start, end) for start, end, _ in read(subtitles(THREE, 9.0), tmp_path)]
    assert times == [
        ("00:00:00,000", "00:00:03,000"),
        ("00:00:03,000", "00:00:06,000"),
        ("00:00:06,000", "00:00:09,000"),
    ]


def test_times_are_right_to_a_thousandth(tmp_path: Path) -> None:
    """Neighbours meet at one time, however it is rounded."""
    found = read(subtitles(THREE, 7.0), tmp_path)
    assert [start for start, _, _ in found] == ["00:00:00,000", "00:00:02,333", "00:00:04,667"]


def test_hours_and_minutes_are_told(tmp_path: Path) -> None:
    ((start, end, _),) = read(subtitles([Caption(0.5, 1.0, "Late.")], 7384.006), tmp_path)
    assert (start, end) == ("01:01:32,003", "02:03:04,006")


def test_words_come_back(tmp_path: Path) -> None:
    """Signs that mean something in the format are spelled out, and read as themselves."""
    found = [html.unescape(words) for *_, words in read(subtitles(THREE, 9.0), tmp_path)]
    assert found == [caption.words for caption in THREE]


@pytest.mark.parametrize("words", ["two\nlines", "a\n\nblank line", "  many   blanks\tand tabs "])
def test_words_stand_on_one_line(tmp_path: Path, words: str) -> None:
    """A line break would end the cue."""
    ((_, _, found),) = read(subtitles([Caption(0.0, 1.0, words)], 3.0), tmp_path)
    assert found == " ".join(words.split())


def test_no_word_is_a_sign_of_the_format() -> None:
    text = subtitles([Caption(0.0, 1.0, "<b>x</b> & -->")], 1.0)
    cue = text.splitlines()[-1]
    assert not re.search(r"[<>]|&(?!amp;|lt;|gt;)", cue)
