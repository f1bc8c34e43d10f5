"""Whole or not at all: what is there before stays until what is new is complete."""

from __future__ import annotations

import errno
import json
import os
from pathlib import Path

import pytest

from pipeline.errors import OutputError
from pipeline.folder import FORMAT, MANIFEST, whole_file, whole_folder


def ours(folder: Path, *names: str) -> None:
    """A folder as an earlier run leaves it."""
    folder.mkdir()
    for name in names:
        (folder / name).write_text("old")
    manifest = {"format": FORMAT, "files": [{"name": name} for name in names]}
    (folder / MANIFEST).write_text(json.dumps(manifest))


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def half_done(target: Path, error: type[BaseException]) -> None:
    with whole_folder(target) as work:
        (work.path / "b.txt").write_text("new")
        raise error


def half_file(target: Path) -> None:
    with whole_file(target) as path:
        path.write_bytes(b"half")
        raise KeyboardInterrupt


def filling(target: Path) -> None:
    with whole_file(target) as path:
        path.symlink_to("/dev/full")
        path.write_bytes(b"new")


def test_a_new_folder_appears_with_what_was_written(tmp_path: Path) -> None:
    with whole_folder(tmp_path / "out") as work:
        (work.path / "a.txt").write_text("new")
    assert names(tmp_path / "out") == ["a.txt"]


def test_nothing_is_there_until_the_end(tmp_path: Path) -> None:
    with whole_folder(tmp_path / "out") as work:
        assert not (tmp_path / "out").exists()
        assert work.path.parent == tmp_path  # the same disk, so that the move is one step


def test_nothing_else_is_left_beside_it(tmp_path: Path) -> None:
    ours(tmp_path / "out", "a.txt")
    with whole_folder(tmp_path / "out"):
        pass
    assert names(tmp_path) == ["out"]


def test_an_earlier_folder_of_ours_is_replaced_whole(tmp_path: Path) -> None:
    ours(tmp_path / "out", "a.txt")
    with whole_folder(tmp_path / "out") as work:
        (work.path / "b.txt").write_text("new")
    assert names(tmp_path / "out") == ["b.txt"]


def test_an_empty_folder_is_filled(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    with whole_folder(tmp_path / "out") as work:
        (work.path / "a.txt").write_text("new")
    assert names(tmp_path / "out") == ["a.txt"]


@pytest.mark.parametrize("error", [ValueError, KeyboardInterrupt, SystemExit])
def test_failed_work_leaves_the_old_folder(tmp_path: Path, error: type[BaseException]) -> None:
    ours(tmp_path / "out", "a.txt")
    with pytest.raises(error):
        half_done(tmp_path / "out", error)
    assert names(tmp_path / "out") == ["a.txt", MANIFEST]


@pytest.mark.parametrize("error", [ValueError, KeyboardInterrupt, SystemExit])
def test_failed_work_leaves_nothing_beside_it(tmp_path: Path, error: type[BaseException]) -> None:
    with pytest.raises(error):
        half_done(tmp_path / "out", error)
    assert names(tmp_path) == []


def test_abandoned_work_leaves_the_old_folder(tmp_path: Path) -> None:
    ours(tmp_path / "out", "a.txt")
    with whole_folder(tmp_path / "out") as work:
        work.abandon()
    assert names(tmp_path / "out") == ["a.txt", MANIFEST]


def test_files_of_others_are_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "thesis.txt").write_text("mine")
    with pytest.raises(OutputError, match=r"not ours, such as thesis\.txt"):
        whole_folder(tmp_path / "out").__enter__()


def test_a_manifest_of_another_program_is_not_ours(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / MANIFEST).write_text('{"format": "something else", "files": []}')
    with pytest.raises(OutputError, match="not ours"):
        whole_folder(tmp_path / "out").__enter__()


def test_a_note_put_into_a_folder_of_ours_is_not_lost(tmp_path: Path) -> None:
    ours(tmp_path / "out", "a.txt")
    (tmp_path / "out" / "note.txt").write_text("mine")
    with pytest.raises(OutputError, match=r"note\.txt, which is not ours"):
        whole_folder(tmp_path / "out").__enter__()


def test_a_note_that_came_while_we_worked_is_not_lost(tmp_path: Path) -> None:
    ours(tmp_path / "out", "a.txt")
    with pytest.raises(OutputError, match=r"note\.txt"), whole_folder(tmp_path / "out"):
        (tmp_path / "out" / "note.txt").write_text("mine")
    assert (tmp_path / "out" / "note.txt").read_text() == "mine"


def test_what_a_file_browser_leaves_is_no_obstacle(tmp_path: Path) -> None:
    ours(tmp_path / "out", "a.txt")
    (tmp_path / "out" / ".DS_Store").write_text("")
    with whole_folder(tmp_path / "out"):
        pass
    assert names(tmp_path / "out") == []


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("mine")
    with pytest.raises(OutputError, match="is a file"):
        whole_folder(tmp_path / "out").__enter__()


def test_a_missing_parent_is_named(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=r"there is no folder .*nowhere"):
        whole_folder(tmp_path / "nowhere" / "out").__enter__()


def test_a_parent_that_may_not_be_written_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(OutputError, match="may not be written to"):
        whole_folder(tmp_path / "out").__enter__()


def test_the_folder_one_is_in_is_not_moved_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(OutputError, match="the folder you are in"):
        whole_folder(Path()).__enter__()


def test_a_full_disk_is_said_plainly(tmp_path: Path) -> None:
    with (
        pytest.raises(OutputError, match="the disk is full; nothing was changed"),
        whole_folder(tmp_path / "out"),
    ):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_a_file_of_ours_that_cannot_be_written_is_said_plainly(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="cannot be written"), whole_folder(tmp_path / "out") as w:
        (w.path / "no such folder" / "a.txt").write_text("new")


def test_a_fault_elsewhere_keeps_its_own_words(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError), whole_folder(tmp_path / "out"):
        (tmp_path / "elsewhere").read_text()


def test_the_old_folder_comes_back_when_the_move_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ours(tmp_path / "out", "a.txt")
    rename = Path.rename

    def stubborn(self: Path, target: Path) -> Path:
        if self.name.endswith(".new"):
            raise PermissionError(errno.EACCES, "in use", str(self))
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", stubborn)
    with pytest.raises(OutputError, match="cannot be replaced"), whole_folder(tmp_path / "out"):
        pass
    assert names(tmp_path / "out") == ["a.txt", MANIFEST]


def test_a_new_file_appears_with_what_was_written(tmp_path: Path) -> None:
    with whole_file(tmp_path / "a.png") as path:
        path.write_bytes(b"new")
    assert (tmp_path / "a.png").read_bytes() == b"new"


def test_the_file_to_write_keeps_the_ending(tmp_path: Path) -> None:
    with whole_file(tmp_path / "a.png") as path:
        path.write_bytes(b"new")
        assert path.suffix == ".png"


def test_failed_work_leaves_the_old_file(tmp_path: Path) -> None:
    (tmp_path / "a.png").write_bytes(b"old")
    with pytest.raises(KeyboardInterrupt):
        half_file(tmp_path / "a.png")
    assert (tmp_path / "a.png").read_bytes() == b"old"


def test_failed_work_leaves_no_half_file(tmp_path: Path) -> None:
    with pytest.raises(KeyboardInterrupt):
        half_file(tmp_path / "a.png")
    assert names(tmp_path) == []


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="is a folder"):
        whole_file(tmp_path).__enter__()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_disk_that_is_full_for_a_file_is_said_plainly(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="the disk is full"):
        filling(tmp_path / "a")
