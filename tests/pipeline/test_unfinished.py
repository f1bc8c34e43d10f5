"""Work that was begun: found again by the same plan, refused to another, swept of halves."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.errors import OutputError
from pipeline.unfinished import begin, end, unfinished

PLAN = {"key": {"design": "a1", "size": [96, 64]}, "fps": 24}
OTHER = {**PLAN, "fps": 25}


@pytest.fixture
def target(tmp_path: Path) -> Path:
    return tmp_path / "film.mp4"


def test_it_lies_beside_its_target(target: Path) -> None:
    assert begin(target, PLAN, "another") == target.with_name("film.mp4.unfinished")


def test_what_was_done_is_found_again(target: Path) -> None:
    (begin(target, PLAN, "another") / "piece-0001.mp4").write_bytes(b"done")
    again = begin(target, PLAN, "another")
    assert (again / "piece-0001.mp4").read_bytes() == b"done"


def test_a_plan_is_the_same_however_its_values_are_held(target: Path) -> None:
    """A tuple comes back from JSON as a list."""
    begin(target, {"size": (96, 64)}, "another")
    (unfinished(target) / "piece-0001.mp4").write_bytes(b"done")
    assert (begin(target, {"size": [96, 64]}, "another") / "piece-0001.mp4").is_file()


def test_another_plan_is_refused_with_what_to_do(target: Path) -> None:
    (begin(target, PLAN, "another clip") / "piece-0001.mp4").write_bytes(b"done")
    with pytest.raises(OutputError, match="beginnings of another clip; remove it, or give another"):
        begin(target, OTHER, "another clip")


def test_a_refusal_leaves_what_was_done(target: Path) -> None:
    place = begin(target, PLAN, "another clip")
    (place / "piece-0001.mp4").write_bytes(b"done")
    with pytest.raises(OutputError):
        begin(target, OTHER, "another clip")
    assert (place / "piece-0001.mp4").read_bytes() == b"done"


def test_a_folder_of_somebody_else_is_refused(target: Path) -> None:
    unfinished(target).mkdir()
    (unfinished(target) / "mine.txt").write_bytes(b"mine")
    with pytest.raises(OutputError, match="beginnings of another clip"):
        begin(target, PLAN, "another clip")


def test_a_file_in_its_place_is_refused(target: Path) -> None:
    unfinished(target).write_bytes(b"mine")
    with pytest.raises(OutputError, match="beginnings of another clip"):
        begin(target, PLAN, "another clip")


@pytest.mark.parametrize("text", ["", "no JSON", '{"key"', "\ufeff{}", "[]"])
def test_a_plan_that_cannot_be_read_is_refused(target: Path, text: str) -> None:
    place = begin(target, PLAN, "another clip")
    (place / "piece-0001.mp4").write_bytes(b"done")
    (place / "plan.json").write_text(text, encoding="utf-8")
    with pytest.raises(OutputError, match="beginnings of another clip"):
        begin(target, PLAN, "another clip")


def test_half_written_files_are_swept(target: Path) -> None:
    (begin(target, PLAN, "another") / ".piece-0001.abcd.mp4").write_bytes(b"half")
    assert not list(begin(target, PLAN, "another").glob(".*"))


def test_half_written_folders_are_swept(target: Path) -> None:
    """Such as that of a storyboard's shot which was being laid out when it was killed."""
    half = begin(target, PLAN, "another") / ".01-shot.abcd.new"
    half.mkdir()
    (half / "frame-0001.png").write_bytes(b"half")
    assert not list(begin(target, PLAN, "another").glob(".*"))


def test_a_folder_that_was_killed_before_its_plan_is_taken_up(target: Path) -> None:
    unfinished(target).mkdir()
    (unfinished(target) / ".plan.abcd.json").write_bytes(b"{")
    assert (begin(target, PLAN, "another") / "plan.json").is_file()


def test_the_end_removes_it(target: Path) -> None:
    (begin(target, PLAN, "another") / "piece-0001.mp4").write_bytes(b"done")
    end(target)
    assert list(target.parent.iterdir()) == []


def test_the_end_of_what_was_not_begun_is_none(target: Path) -> None:
    end(target)
    assert list(target.parent.iterdir()) == []


def test_what_no_file_can_hold_is_a_mistake_of_ours(target: Path) -> None:
    with pytest.raises(ValueError, match="JSON compliant"):
        begin(target, {"seconds": float("nan")}, "another")
