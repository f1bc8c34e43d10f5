"""A storyboard made: one folder, whole or not at all, and a run that broke goes on."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from pipeline import shooting
from pipeline.errors import CorewrightError, DesignError, OutputError
from pipeline.folder import MANIFEST, check_target
from pipeline.shooting import make_storyboard
from pipeline.storyboard_fields import read_storyboard
from pipeline.unfinished import unfinished
from tests.pipeline import drilled_text
from tests.pipeline.filmed import BRICK
from tests.pipeline.sphere_balls import swapped

SIZE = (480, 360)
BOARD = """\
format: corewright storyboard 1
design: dunlin.yaml
earlier: godwit.yaml
size: 480x360
fps: 24
shots:
  - {name: the core, view: core, layers: yes, look: dusk}
  - {name: both cores, view: sizes, beside: [godwit.yaml], caption: "Two cores & one scale."}
  - {name: it turns, move: turntable, view: core, seconds: 0.125}
"""
FILES = {
    "01-the-core.png", "01-the-core.txt", "01-the-core-layers/ground.png",
    "01-the-core-layers/ball.png", "01-the-core-layers/axes.png", "01-the-core-layers/labels.png",
    "01-the-core-layers/card.png", "02-both-cores.png", "02-both-cores.txt", "03-it-turns.mp4",
    "03-it-turns.vtt", "contact-sheet.png", "talking-points.md", "storyboard.yaml", MANIFEST,
}  # fmt: skip


def write(folder: Path, text: str = BOARD) -> Path:
    """A storyboard with the two designs that it names."""
    (folder / "dunlin.yaml").write_text(BRICK, encoding="utf-8")
    other = swapped(BRICK, ("name: Dunlin", "name: Godwit"), ("2.8, 3.5, 4.9", "2.9, 3.3, 4.7"))
    (folder / "godwit.yaml").write_text(other, encoding="utf-8")
    path = folder / "film.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder by its path."""
    found = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


class Broken(Exception):
    """What a run is broken by."""


class Counted:
    """Calls of two functions of `shooting`, by the shot that they made, one of which breaks."""

    def __init__(self, patch: pytest.MonkeyPatch, breaks_at: int = 0) -> None:
        self.calls: list[str] = []
        self._breaks_at = breaks_at
        for name in ("shoot_film", "scene_layers"):
            patch.setattr(shooting, name, self._wrapped(name, getattr(shooting, name)))

    def _wrapped(self, name: str, made: Callable[..., Any]) -> Callable[..., Any]:
        def call(*given: Any) -> Any:
            if len(self.calls) + 1 == self._breaks_at:
                raise Broken
            self.calls.append(name)
            return made(*given)

        return call


def without_points(patch: pytest.MonkeyPatch) -> None:
    """Talking points take a while."""
    patch.setattr(shooting, "points_of", lambda *_: None)
    patch.setattr(shooting, "as_markdown", lambda *_: "")


def at_once(patch: pytest.MonkeyPatch) -> None:
    """Stills that can be take no time."""
    patch.setattr(shooting, "scene_layers", lambda *_: {"ball": Image.new("RGBA", (480, 360))})


@pytest.fixture(scope="module")
def board(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write(tmp_path_factory.mktemp("board"))


@pytest.fixture(scope="module")
def told() -> list[tuple[str, int, int]]:
    return []


@pytest.fixture(scope="module")
def folder(board: Path, told: list[tuple[str, int, int]]) -> Path:
    target = board.parent / "made"
    made = make_storyboard(read_storyboard(board), target, lambda *words: told.append(words))
    assert made == ("01-the-core.png", "02-both-cores.png", "03-it-turns.mp4")
    return target


# What is made


def test_it_has_all_its_files_and_no_others(folder: Path) -> None:
    assert set(contents(folder)) == FILES


def test_nothing_is_left_beside_it(folder: Path) -> None:
    names = {path.name for path in folder.parent.iterdir()}
    assert names == {"dunlin.yaml", "godwit.yaml", "film.yaml", "made"}


def test_the_manifest_lists_every_file_with_its_hash(folder: Path) -> None:
    listed = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    found = {row["name"]: row["sha256"] for row in listed["files"]}
    due = {name: hashlib.sha256(data).hexdigest() for name, data in contents(folder).items()}
    assert found == {name: digest for name, digest in due.items() if name != MANIFEST}


def test_the_manifest_says_of_which_ball_it_is(folder: Path) -> None:
    listed = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    digest = hashlib.sha256(BRICK.encode()).hexdigest()
    assert (listed["made_by"], listed["design"]["sha256"]) == ("storyboard", digest)


def test_the_storyboard_lies_with_what_it_made(folder: Path, board: Path) -> None:
    assert (folder / "storyboard.yaml").read_bytes() == board.read_bytes()


@pytest.mark.parametrize("name", ["01-the-core.png", "02-both-cores.png"])
def test_stills_have_the_size_that_was_asked(folder: Path, name: str) -> None:
    with Image.open(folder / name) as image:
        assert image.size == SIZE


def test_layers_over_one_another_are_the_still(folder: Path) -> None:
    image = Image.new("RGBA", SIZE)
    for name in ("ground", "ball", "axes", "labels", "card"):
        image.alpha_composite(Image.open(folder / "01-the-core-layers" / f"{name}.png"))
    still = np.array(Image.open(folder / "01-the-core.png"))
    assert np.array_equal(np.array(image.convert("RGB")), still)


def test_captions_are_made_of_the_figures(folder: Path) -> None:
    said = (folder / "01-the-core.txt").read_text(encoding="utf-8")
    assert said.startswith("Dunlin, revision A. The core alone, uncut. Ball weight 15.00 lb; ")


def test_own_words_stand_in_their_place(folder: Path) -> None:
    said = (folder / "02-both-cores.txt").read_text(encoding="utf-8")
    assert said == "Two cores & one scale.\n"


def test_captions_of_a_clip_run_to_its_end(folder: Path) -> None:
    """Three frames at 24 a second are 0.125 s."""
    said = (folder / "03-it-turns.vtt").read_text(encoding="utf-8")
    assert "--> 00:00:00.125" in said


def test_the_contact_sheet_has_one_row_of_three(folder: Path) -> None:
    """As its own tests have it: 480 x 300 px a shot, 28 px between, two lines above and below."""
    with Image.open(folder / "contact-sheet.png") as image:
        assert image.size == (3 * (480 + 28) + 28, int(2 * 28 + 300 + 4.6 * 1.32 * 17.0))


def test_talking_points_are_of_both_balls(folder: Path) -> None:
    said = (folder / "talking-points.md").read_text(encoding="utf-8")
    assert ("Dunlin" in said, "Godwit" in said) == (True, True)


def test_progress_is_told_shot_by_shot(folder: Path, told: list[tuple[str, int, int]]) -> None:
    assert folder.is_dir()
    assert told == [
        *(("01-the-core", k, 1) for k in range(2)),
        *(("02-both-cores", k, 1) for k in range(2)),
        *(("03-it-turns", k, 3) for k in range(4)),
    ]


def test_a_clip_as_pictures_is_a_folder_that_can_be_made_anew(tmp_path: Path) -> None:
    """It has a list of its own, which is ours as well."""
    head = BOARD[: BOARD.index("  - {name")]
    clip = "  - {name: it turns, move: turntable, view: core, seconds: 0.08, ending: png}\n"
    asked = read_storyboard(write(tmp_path, head + clip))
    with pytest.MonkeyPatch.context() as patch:
        without_points(patch)
        make_storyboard(asked, tmp_path / "made")
    check_target(tmp_path / "made", "storyboard")
    pictures = {path.name for path in (tmp_path / "made" / "01-it-turns").iterdir()}
    assert pictures == {"frame-0001.png", "frame-0002.png", MANIFEST}


# Interrupted


def test_a_run_that_broke_makes_no_finished_shot_again(board: Path, tmp_path: Path) -> None:
    """Broken before its last shot."""
    asked = read_storyboard(board)
    with pytest.MonkeyPatch.context() as patch:
        at_once(patch)
        Counted(patch, 3)
        with pytest.raises(Broken):
            make_storyboard(asked, tmp_path / "made")
    with pytest.MonkeyPatch.context() as patch:
        again = Counted(patch)
        without_points(patch)
        make_storyboard(asked, tmp_path / "made")
    assert again.calls == ["shoot_film"]


def test_a_run_that_broke_has_the_bytes_of_one_that_did_not(
    folder: Path, board: Path, tmp_path: Path
) -> None:
    """Broken when all shots were there and nothing was in its place yet."""
    asked = read_storyboard(board)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(shooting, "contact_sheet", _breaks)
        with pytest.raises(Broken):
            make_storyboard(asked, tmp_path / "made")
    with pytest.MonkeyPatch.context() as patch:
        again = Counted(patch)
        make_storyboard(asked, tmp_path / "made")
    assert (again.calls, contents(tmp_path / "made")) == ([], contents(folder))


def _breaks(*_: object) -> bytes:
    raise Broken


def test_what_a_killed_run_was_laying_out_is_not_taken_along(board: Path, tmp_path: Path) -> None:
    """Such as the pictures of a clip that were being put into a folder."""
    asked = read_storyboard(board)
    begun(board, tmp_path / "made")
    half = unfinished(tmp_path / "made") / ".03-it-turns.abcd.new"
    half.mkdir()
    (half / "frame-0001.png").write_bytes(b"half")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(shooting, "_made", lambda *_: pytest.fail("never"))
        patch.setattr(shooting, "_with_place", lambda *_: None)
        patch.setattr(shooting, "contact_sheet", lambda *_: b"")
        without_points(patch)
        make_storyboard(asked, tmp_path / "made")
    assert [name for name in contents(tmp_path / "made") if "abcd" in name] == []


def begun(board: Path, target: Path) -> None:
    """Begin a storyboard, of which one shot is done."""
    with pytest.MonkeyPatch.context() as patch:
        at_once(patch)
        Counted(patch, 2)
        with pytest.raises(Broken):
            make_storyboard(read_storyboard(board), target)


def test_another_storyboard_does_not_go_on_with_it(board: Path, tmp_path: Path) -> None:
    begun(board, tmp_path / "made")
    other = write(tmp_path, swapped(BOARD, ("look: dusk", "look: ink")))
    with pytest.raises(OutputError, match="beginnings of another storyboard"):
        make_storyboard(read_storyboard(other), tmp_path / "made")


def test_a_design_that_changed_does_not_go_on_with_it(tmp_path: Path) -> None:
    """Of any ball that is shown, be it beside."""
    path = write(tmp_path)
    begun(path, tmp_path / "made")
    (tmp_path / "godwit.yaml").write_text(BRICK, encoding="utf-8")
    with pytest.raises(OutputError, match="beginnings of another storyboard"):
        make_storyboard(read_storyboard(path), tmp_path / "made")


# Refused

CANNOT = {
    "a view that the move cannot film": ("move: turntable, view: core", "move: spins, view: core",
                                         "9", "cannot film the view 'core'"),
    "a wish that a still does not heed": ("view: core, layers", "view: core, opening: 30, layers",
                                          "7", "takes no --opening"),
    "a wish that a clip does not heed": ("view: core, seconds", "view: core, faces: plain, seconds",
                                         "9", "takes no --faces"),
    "others beside one ball": ("view: sizes", "view: whole", "8", "shows one ball"),
    "a size too small": ("layers: yes", "layers: yes, size: 100x100", "7", "from 360 to 8192"),
    "an odd size of a video": ("move: turntable", "size: 481x360, move: turntable", "9",
                               "480 or 482 px"),
    "a video without background": ("move: turntable", "transparent: yes, move: turntable", "9",
                                   "carries no transparency"),
    "a film of no time": ("seconds: 0.125", "seconds: 0", "9", "a film of 0 s cannot be made"),
    "a film too long": ("seconds: 0.125", "seconds: 121", "9", "a film of 121 s cannot be made"),
    "a GIF at 60 a second": ("seconds: 0.125", "ending: gif, fps: 60", "9", "60 frames per second"),
    "a view of a drilled ball": ("view: core, layers", "view: rings, layers", "7", "not drilled"),
    "a morph of a ball of which nothing varies": ("move: turntable, view: core", "move: morph", "9",
                                                  "nothing of Dunlin may vary"),
}  # fmt: skip


@pytest.mark.parametrize("what", CANNOT)
def test_a_shot_that_cannot_be_tells_its_place(what: str, tmp_path: Path) -> None:
    old, new, line, says = CANNOT[what]
    path = write(tmp_path, swapped(BOARD, (old, new)))
    with pytest.MonkeyPatch.context() as patch:
        at_once(patch)
        with pytest.raises(DesignError) as refusal:
            make_storyboard(read_storyboard(path), tmp_path / "made")
    (problem,) = refusal.value.problems
    assert (problem.line, problem.field) == (int(line), f"shots[{int(line) - 7}]")
    assert says in str(refusal.value)


def test_a_first_shot_that_cannot_be_leaves_nothing_behind(tmp_path: Path) -> None:
    """Else the mended storyboard would be refused for the beginnings of this one."""
    old, new, *_ = CANNOT["a wish that a still does not heed"]
    path = write(tmp_path, swapped(BOARD, (old, new)))
    with pytest.raises(DesignError, match="takes no --opening"):
        make_storyboard(read_storyboard(path), tmp_path / "made")
    assert not unfinished(tmp_path / "made").exists()


@pytest.mark.parametrize("what", CANNOT)
def test_a_shot_that_cannot_be_is_refused_before_any_is_made(what: str, tmp_path: Path) -> None:
    """Else it would be told after an hour, and the shots before it would have been for nothing."""
    old, new, *_ = CANNOT[what]
    path = write(tmp_path, swapped(BOARD, (old, new)))
    with pytest.MonkeyPatch.context() as patch:
        counted = Counted(patch, 1)
        with pytest.raises((DesignError, Broken)) as refusal:
            make_storyboard(read_storyboard(path), tmp_path / "made")
    assert (refusal.type, counted.calls) == (DesignError, [])


@pytest.mark.parametrize("more", ["layers: yes", "transparent: yes", "look: ink", "card: no"])
def test_what_a_flat_map_cannot_be_is_refused(more: str, tmp_path: Path) -> None:
    """As the command refuses it; it is not left out in silence."""
    path = write(tmp_path, swapped(BOARD, ("view: core, layers: yes, look: dusk",
                                           f"view: axis-map, {more}")))  # fmt: skip
    drilled = drilled_text.text(drilled_text.BARE)
    (tmp_path / "dunlin.yaml").write_text(drilled, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        Counted(patch, 1)
        with pytest.raises(CorewrightError, match=r"film\.yaml:7: shots\[0\].*flat map"):
            make_storyboard(read_storyboard(path), tmp_path / "made")


def test_a_shot_that_cannot_be_leaves_the_earlier_folder(folder: Path, board: Path) -> None:
    before = contents(folder)
    wrong = board.with_name("wrong.yaml")
    wrong.write_text(swapped(BOARD, ("view: sizes", "view: whole")), encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        at_once(patch)
        with pytest.raises(DesignError, match="shows one ball"):
            make_storyboard(read_storyboard(wrong), folder)
    assert contents(folder) == before


def test_a_design_that_is_not_there_is_told(tmp_path: Path) -> None:
    path = write(tmp_path, swapped(BOARD, ("design: dunlin", "design: plover")))
    with pytest.raises(DesignError, match=r"plover\.yaml"):
        make_storyboard(read_storyboard(path), tmp_path / "made")
    assert not unfinished(tmp_path / "made").exists()


def test_a_folder_of_somebody_elses_files_is_refused_before_any_work(
    board: Path, tmp_path: Path
) -> None:
    (tmp_path / "mine.txt").write_bytes(b"mine")
    with pytest.raises(OutputError, match="not ours"):
        make_storyboard(read_storyboard(board), tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_a_folder_that_a_film_made_is_refused(board: Path, folder: Path, tmp_path: Path) -> None:
    assert folder.is_dir()
    (tmp_path / MANIFEST).write_text(
        '{"format": "corewright package 1", "made_by": "film", "files": []}', encoding="utf-8"
    )
    with pytest.raises(OutputError, match="made by `corewright film`"):
        make_storyboard(read_storyboard(board), tmp_path)
