"""Storyboards as they are read, and every kind of mistake told with its place and what to do."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.errors import DesignError
from pipeline.shipped import STORYBOARDS, shipped
from pipeline.storyboard import ShotPlan, Storyboard
from pipeline.storyboard_fields import read_storyboard
from pipeline.wish import Wish
from tests.pipeline.sphere_balls import swapped
from tests.pipeline.storyboards import BOARD, MISTAKES, Mistake


def read(text: str, folder: Path) -> Storyboard:
    path = folder / "film.yaml"
    path.write_text(text, encoding="utf-8")
    return read_storyboard(path)


def refusals(text: str, folder: Path) -> list[str]:
    """Every problem in one line each, without the folder; none where it reads well."""
    try:
        read(text, folder)
    except DesignError as error:
        return [problem.said("film.yaml") for problem in error.problems]
    return []


@pytest.fixture(scope="module")
def shots() -> tuple[ShotPlan, ...]:
    return read_storyboard(shipped("dunlin-storyboard")).shots


# What is read


@pytest.mark.parametrize("name", STORYBOARDS)
def test_a_shipped_storyboard_reads(name: str) -> None:
    board = read_storyboard(shipped(name))
    assert (board.design, board.source) == ("dunlin.yaml", shipped(name).read_bytes())


@pytest.mark.parametrize("name", STORYBOARDS)
def test_what_a_shipped_storyboard_names_is_there(name: str) -> None:
    board = read_storyboard(shipped(name))
    named = [board.design, *(file for shot in board.shots for file in shot.beside)]
    assert [file for file in named if not (board.folder / file).is_file()] == []


def test_files_are_called_after_number_and_name(shots: tuple[ShotPlan, ...]) -> None:
    assert [shot.file for shot in shots[:4]] == [
        "01-opening-shot.mp4", "02-how-it-opens.mp4", "03-what-is-in-it.mp4", "04-the-core.png",
    ]  # fmt: skip


def test_every_shot_knows_its_line(shots: tuple[ShotPlan, ...]) -> None:
    lines = shipped("dunlin-storyboard").read_text(encoding="utf-8").splitlines()
    names = ["opening shot", "how it opens", "what is in it", "the core", "its axes"]
    assert [name in lines[shot.line - 1] for name, shot in zip(names, shots, strict=False)] == [
        True
    ] * 5


def test_what_all_shots_have_is_said_once(tmp_path: Path) -> None:
    head = swapped(BOARD, ("shots:\n", "look: dusk\nsize: square\nfps: 25\nshots:\n"))
    found = read(head, tmp_path).shots
    assert {(shot.look, shot.size, shot.fps) for shot in found} == {("dusk", (1080, 1080), 25)}


def test_a_shot_has_its_own_say(tmp_path: Path) -> None:
    head = swapped(BOARD, ("shots:\n", "look: dusk\nsize: square\nfps: 25\nshots:\n"),
                   ("move: spins}", "move: spins, look: ink, size: 640x360, fps: 60}"))  # fmt: skip
    clip = read(head, tmp_path).shots[1]
    assert (clip.look, clip.size, clip.fps) == ("ink", (640, 360), 60)


def test_what_is_not_said_is_as_the_reference_has_it(tmp_path: Path) -> None:
    still, clip = read(BOARD, tmp_path).shots
    assert (still.look, still.size, still.ending, still.view) == (
        "shore",
        (1920, 1080),
        "png",
        "core",
    )
    assert (clip.fps, clip.seconds, clip.ending, clip.view) == (30, None, "mp4", "")
    flags = {(s.transparent, s.layers, s.card, s.labels) for s in (still, clip)}
    assert flags == {(False, False, True, True)}


def test_a_still_without_a_view_is_a_cutaway(tmp_path: Path) -> None:
    assert read(swapped(BOARD, (", view: core", "")), tmp_path).shots[0].view == "cutaway"


def test_angles_are_degrees_whatever_they_are_written_in(tmp_path: Path) -> None:
    asked = "view: half, toward: 0.5 rad, faces: plain, from: -30, above: 10 deg"
    wish = read(swapped(BOARD, ("view: core", asked)), tmp_path).shots[0].wish
    assert wish == Wish(pytest.approx(28.64788976), None, "plain", -30.0, 10.0)


@pytest.mark.parametrize(("word", "flag"), [("yes", True), ("no", False)])
def test_yes_is_yes_and_no_is_no(tmp_path: Path, word: str, flag: bool) -> None:
    asked = f"view: core, transparent: {word}, layers: {word}, card: {word}, labels: {word}"
    shot = read(swapped(BOARD, ("view: core", asked)), tmp_path).shots[0]
    assert (shot.transparent, shot.layers, shot.card, shot.labels) == (flag,) * 4


def test_two_shots_of_one_name_are_two_files(tmp_path: Path) -> None:
    same = swapped(BOARD, ("name: its axes", "name: the core"))
    files = [shot.stem for shot in read(same, tmp_path).shots]
    assert files == ["01-the-core", "02-the-core"]


def test_a_name_in_any_script_names_a_file(tmp_path: Path) -> None:
    named = swapped(BOARD, ("name: the core", "name: 核心 / Brachvögel"))
    assert read(named, tmp_path).shots[0].stem == "01-u6838-u5fc3-brachvogel"


# What is refused


@pytest.fixture(params=MISTAKES)
def mistake(request: pytest.FixtureRequest) -> Mistake:
    return MISTAKES[request.param]


def made(mistake: Mistake) -> str:
    return swapped(BOARD, (mistake.old, mistake.new))


def test_a_mistake_is_told_once_with_its_line_and_field(mistake: Mistake, tmp_path: Path) -> None:
    (found,) = refusals(made(mistake), tmp_path)
    assert found.startswith(f"film.yaml:{mistake.place}: ")


def test_a_mistake_is_told_with_what_was_read_and_what_may_stand_there(
    mistake: Mistake, tmp_path: Path
) -> None:
    (found,) = refusals(made(mistake), tmp_path)
    assert [words for words in mistake.says if words not in found] == []


def test_a_sentence_does_not_trail_off(mistake: Mistake, tmp_path: Path) -> None:
    (found,) = refusals(made(mistake), tmp_path)
    assert not found.endswith((" ", ";", ":", ","))


def test_all_problems_are_told_at_once(tmp_path: Path) -> None:
    wrong = swapped(BOARD, ("view: core", "view: corr"), ("move: spins", "move: spin"))
    assert len(refusals(wrong, tmp_path)) == 2


def test_all_shots_that_do_not_fit_together_are_told_at_once(tmp_path: Path) -> None:
    """What a still or a clip does not take is a problem of the file as any other."""
    wrong = swapped(BOARD, ("view: core", "view: core, seconds: 3"),
                    ("move: spins", "move: spins, layers: yes"))  # fmt: skip
    assert len(refusals(wrong, tmp_path)) == 2


def test_a_size_that_is_none_is_told_where_it_stands(tmp_path: Path) -> None:
    wrong = swapped(BOARD, ("shots:\n", "size: large\nshots:\n"))
    (found,) = refusals(wrong, tmp_path)
    assert found.startswith("film.yaml:3: size: ")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "film.yaml: the file is empty"),
        ("- a list\n", "film.yaml:1: read [a list]; allowed: keys format, design, earlier"),
        ("just words\n", "film.yaml:1: read 'just words'; allowed: keys format"),
        ("format: [\n", "film.yaml:2: "),
        ("format: corewright storyboard 1\n" * 2, "film.yaml:2: 'format' stands here again"),
    ],
)
def test_a_file_that_is_no_storyboard_is_refused(text: str, says: str, tmp_path: Path) -> None:
    (found,) = refusals(text, tmp_path)
    assert found.startswith(says)


def test_an_empty_file_is_not_said_to_be_a_design(tmp_path: Path) -> None:
    (found,) = refusals("", tmp_path)
    assert "a design starts with" not in found


@pytest.mark.parametrize("name", ["dunlin", "dunlin-drilled"])
def test_a_design_is_no_storyboard(name: str) -> None:
    with pytest.raises(DesignError, match="allowed: corewright storyboard 1"):
        read_storyboard(shipped(name))


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(DesignError, match=r"none\.yaml"):
        read_storyboard(tmp_path / "none.yaml")


def test_a_folder_is_no_storyboard(tmp_path: Path) -> None:
    with pytest.raises(DesignError):
        read_storyboard(tmp_path)
