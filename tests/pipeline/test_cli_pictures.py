"""The commands that show a ball, run in this process as `corewright` runs them.

Whatever is asked in vain ends in status 2 with a sentence, never in an internal failure, and leaves
nothing behind.
"""

from __future__ import annotations

import contextlib
import io
import json
import subprocess
import sys
from dataclasses import dataclass
from inspect import signature
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from pipeline import cli, cli_pictures, stills
from pipeline import film as filming
from pipeline.arrange import Page
from pipeline.film import Film
from pipeline.folder import MANIFEST
from pipeline.looks import DRAWN, DUSK, LOOKS
from pipeline.moves import MOVES
from pipeline.palette import LOW_AXIS, rgb
from pipeline.picture import Style, every_view
from pipeline.wish import AS_IT_SUITS, Wish
from tests.pipeline import drilled_text
from tests.pipeline.film import look
from tests.pipeline.filmed import BRICK, VARIED
from tests.pipeline.sphere_balls import swapped

ROOT = Path(__file__).parents[2]
SMALL = ("--size", "480x360")
BOARD = """\
format: corewright storyboard 1
design: dunlin.yaml
size: 480x360
shots:
  - {name: the core, view: core}
"""
FILES = {
    "dunlin.yaml": BRICK,
    "godwit.yaml": swapped(BRICK, ("name: Dunlin", "name: Godwit"), ("2.8, 3.5, 4.9", "3, 3, 4.6")),
    "varied.yaml": BRICK + VARIED,
    "drilled.yaml": drilled_text.text(drilled_text.BARE),
    "plain.yaml": drilled_text.text(drilled_text.BARE, drilled_text.PLAIN),
    "board.yaml": BOARD,
    "empty.yaml": "",
    "broken.yaml": "format: [\n",
    "binary.yaml": "\x00\x01",
    "mine.txt": "mine",
    "begun.mp4.unfinished/plan.json": "{}",
    "begun.mp4.unfinished/piece-0001.mp4": "",
    "theirs/mine.txt": "mine",
    "theirs/manifest.json": "{}",
}


@dataclass(frozen=True)
class Ran:
    """What a command ended with and said."""

    status: int
    out: str
    err: str


def corewright(*words: str) -> Ran:
    out, err = io.StringIO(), io.StringIO()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "argv", ["corewright", *words])
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                cli.main()
                status = 0
            except SystemExit as ended:
                status = ended.code if isinstance(ended.code, int) else 0
    return Ran(status, out.getvalue(), err.getvalue())


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder that commands are run in, with all that they may need."""
    for name, text in FILES.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def lying(place: Path) -> set[str]:
    """All files and folders there."""
    return {path.relative_to(place).as_posix() for path in place.rglob("*")}


def pixels(path: str) -> np.ndarray:
    with Image.open(path) as image:
        return np.array(image)


# Help


@pytest.mark.parametrize("command", ["picture", "film", "storyboard"])
def test_help_answers(command: str) -> None:
    done = corewright(command, "--help")
    assert (done.status, "--out" in done.out, done.err) == (0, True, "")


def test_help_names_every_move() -> None:
    said = " ".join(corewright("film", "--help").out.split())
    assert [move for move in MOVES if move not in said] == []


def test_help_names_every_look() -> None:
    said = corewright("picture", "--help").out
    assert [look for look in LOOKS if look not in said] == []


@pytest.mark.parametrize("command", ["picture", "film", "storyboard"])
def test_help_loads_no_stage(command: str) -> None:
    code = (
        f"import sys; sys.argv = ['corewright', {command!r}, '--help']\n"
        "from pipeline.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "sys.exit(1 if {'numpy', 'ruamel', 'PIL', 'OCP'} & set(sys.modules) else 0)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, timeout=60, check=False
    )
    assert done.returncode == 0


# picture


def test_a_picture_is_written_and_told(place: Path) -> None:
    done = corewright("picture", "dunlin.yaml", "--out", "a.png", "--view", "core", *SMALL)
    assert (done.status, done.out, done.err) == (0, "wrote a.png\n", "")
    assert (pixels("a.png").shape, "a.txt" in lying(place)) == ((360, 480, 3), False)


@pytest.mark.usefixtures("place")
def test_a_look_and_a_clear_background_are_heeded() -> None:
    """Lines of the look are where the axes are, and nothing is in the corner."""
    asked = ("picture", "dunlin.yaml", "--out", "a.png", "--view", "core", *SMALL)
    corewright(*asked, "--transparent", "--look", "dusk", "--leave-out", "labels, card")
    found = pixels("a.png").astype(int)
    near = np.abs(found[..., :3] - np.rint(255.0 * np.array(rgb(DUSK.ink(LOW_AXIS))))).max(axis=-1)
    assert (found[0, 0, 3], bool(((near <= 2) & (found[..., 3] == 255)).any())) == (0, True)


@pytest.fixture
def asked_of_stills(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
    """What the command hands on, instead of a picture."""
    calls: list[dict[str, Any]] = []
    told = signature(stills.write_still_to)

    def write(*given: Any, **named: Any) -> tuple[Path, ...]:
        calls.append(dict(told.bind(*given, **named).arguments))
        return (given[0],)

    monkeypatch.setattr(stills, "write_still_to", write)
    return calls


@pytest.mark.usefixtures("place")
@pytest.mark.parametrize(
    ("words", "name", "due"),
    [
        ((), "style", Style(None)),
        ((), "wish", AS_IT_SUITS),
        ((), "view", "cutaway"),
        (("--view", "half"), "view", "half"),
        (("--size", "640x360"), "style", Style((640, 360))),
        (("--size", "4k"), "style", Style((3840, 2160))),
        (("--look", "ink"), "style", Style(None, DRAWN)),
        (("--transparent",), "style", Style(None, transparent=True)),
        (("--leave-out", "card"), "style", Style(None, page=Page(card=False))),
        (("--leave-out", " labels ,card,"), "style", Style(None, page=Page(False, False))),
        (("--safe-margins",), "style", Style(None, page=Page(safe=True))),
        (("--toward", "140"), "wish", Wish(toward_deg=140.0)),
        (("--opening", "60"), "wish", Wish(opening_deg=60.0)),
        (("--faces", "plain"), "wish", Wish(faces="plain")),
        (("--from", "-30"), "wish", Wish(from_deg=-30.0)),
        (("--above", "-12.5"), "wish", Wish(above_deg=-12.5)),
        (("--layers",), "layers", True),
        (("--captions",), "words", True),
    ],
)
def test_what_is_asked_of_a_picture_is_handed_on(
    asked_of_stills: list[dict[str, Any]], words: tuple[str, ...], name: str, due: object
) -> None:
    assert corewright("picture", "dunlin.yaml", "--out", "a.png", *words).status == 0
    assert asked_of_stills[0][name] == due


@pytest.mark.usefixtures("place")
def test_others_are_handed_on_in_their_order(asked_of_stills: list[dict[str, Any]]) -> None:
    more = ("--beside", "godwit.yaml", "--beside", "varied.yaml", "--view", "sizes")
    corewright("picture", "dunlin.yaml", "--out", "a.png", *more)
    names = [Path(ball.design.file).name for ball in asked_of_stills[0]["beside"]]
    assert names == ["godwit.yaml", "varied.yaml"]


def test_layers_are_a_folder(place: Path) -> None:
    asked = ("picture", "dunlin.yaml", "--out", "layers", "--view", "core", *SMALL, "--layers")
    assert corewright(*asked).out == "wrote layers\n"
    assert {"layers/ball.png", "layers/card.png", f"layers/{MANIFEST}"} <= lying(place)


def test_captions_are_a_file_beside_it(place: Path) -> None:
    asked = ("picture", "dunlin.yaml", "--out", "a.png", "--view", "core", *SMALL, "--captions")
    assert corewright(*asked).out == "wrote a.png and a.txt\n"
    assert (place / "a.txt").read_text(encoding="utf-8").startswith("Dunlin, revision A.")


def test_bodies_are_a_glb(place: Path) -> None:
    corewright("picture", "dunlin.yaml", "--out", "a.glb", "--view", "core")
    assert (place / "a.glb").read_bytes().startswith(b"glTF")


@pytest.mark.usefixtures("place")
def test_a_ball_with_holes_is_said_to_be_shown_without_them(
    asked_of_stills: list[dict[str, Any]],
) -> None:
    done = corewright("picture", "drilled.yaml", "--out", "a.png", "--view", "core")
    assert len(asked_of_stills) == 1
    assert done.out == "wrote a.png: the ball before it is drilled\n"


@pytest.mark.usefixtures("place")
def test_a_map_of_a_drilled_ball_has_its_size() -> None:
    asked = ("picture", "drilled.yaml", "--out", "a.png", "--view", "pin-map", *SMALL)
    assert (corewright(*asked).out, pixels("a.png").shape[:2]) == ("wrote a.png\n", (360, 480))


def test_bodies_with_a_face_too_small_for_a_stroke_are_written(place: Path) -> None:
    """An insert of 2 mm between the lines of its hatching is no internal failure."""
    bead = "  - {name: bead, material: clay, shape: sphere, diameter: 0.08, move: [0, 0, 0.1]}\n"
    (place / "bead.yaml").write_text(BRICK.replace("parts:\n", "parts:\n" + bead), encoding="utf-8")
    done = corewright("picture", "bead.yaml", "--out", "a.glb", "--view", "half")
    assert (done.status, done.err) == (0, "")


# film


def test_a_film_is_written_and_told(place: Path) -> None:
    asked = ("film", "dunlin.yaml", "--out", "a.mp4", "--view", "core", "--seconds", "0.125")
    done = corewright(*asked, "--fps", "24", *SMALL, "--captions")
    assert (done.status, done.err) == (0, "")
    assert done.out == "wrote a.mp4 and a.vtt: 3 frames, 0.125 s\n"
    seen = look(place / "a.mp4")
    assert (seen.size, seen.fps) == ((480, 360), 24)


@pytest.fixture
def asked_of_films(monkeypatch: pytest.MonkeyPatch) -> list[tuple[Film, int]]:
    """What the command hands on, instead of a film."""
    calls: list[tuple[Film, int]] = []

    def shoot(
        _ball: object, film: Film, _out: Path, _told: object, renderers: int
    ) -> None:  # fmt: skip
        calls.append((film, renderers))

    monkeypatch.setattr(filming, "shoot_film", shoot)
    return calls


@pytest.mark.usefixtures("place")
@pytest.mark.parametrize(
    ("words", "due"),
    [
        ((), Film()),
        (("--move", "spins"), Film("spins")),
        (("--view", "half"), Film(view="half")),
        (("--seconds", "2.5"), Film(seconds=2.5)),
        (("--fps", "60"), Film(fps=60)),
        (("--size", "upright"), Film(size=(1080, 1920))),
        (("--look", "dusk"), Film(look=DUSK)),
        (("--transparent",), Film(transparent=True)),
        (("--leave-out", "labels"), Film(page=Page(labels=False, safe=True))),
        (("--toward", "140"), Film(wish=Wish(toward_deg=140.0))),
        (("--opening", "60"), Film(wish=Wish(opening_deg=60.0))),
        (("--faces", "hatched"), Film(wish=Wish(faces="hatched"))),
        (("--from", "30"), Film(wish=Wish(from_deg=30.0))),
        (("--above", "5"), Film(wish=Wish(above_deg=5.0))),
        (("--number", "density of clay"), Film(wish=Wish(number="density of clay"))),
    ],
)
def test_what_is_asked_of_a_film_is_handed_on(
    asked_of_films: list[tuple[Film, int]], words: tuple[str, ...], due: Film
) -> None:
    assert corewright("film", "dunlin.yaml", "--out", "a.mp4", *words).status == 0
    assert asked_of_films == [(due, 1)]


@pytest.mark.usefixtures("place")
def test_a_number_of_renderers_is_handed_on(asked_of_films: list[tuple[Film, int]]) -> None:
    corewright("film", "dunlin.yaml", "--out", "a.mp4", "--renderers", "3")
    assert asked_of_films == [(Film(), 3)]


def test_a_film_without_an_ending_is_a_folder_of_pictures(place: Path) -> None:
    asked = ("film", "dunlin.yaml", "--out", "clip", "--view", "core", "--seconds", "0.08")
    done = corewright(*asked, "--fps", "25", *SMALL, "--transparent", "--leave-out", "card,labels")
    assert done.out == "wrote clip: 2 frames, 0.08 s\n"
    assert {path.name for path in (place / "clip").iterdir()} == {
        "frame-0001.png", "frame-0002.png", MANIFEST,
    }  # fmt: skip


# storyboard


def test_a_storyboard_is_made_and_told(place: Path) -> None:
    done = corewright("storyboard", "board.yaml", "--out", "made")
    due = (
        f"wrote made: 1 shots; start with {Path('made/contact-sheet.png')} and "
        f"{Path('made/talking-points.md')}\n"
    )
    assert (done.status, done.out, done.err) == (0, due, "")
    listed = json.loads((place / "made" / MANIFEST).read_text(encoding="utf-8"))
    assert listed["made_by"] == "storyboard"


def test_a_mistake_in_a_storyboard_is_told_with_its_place(place: Path) -> None:
    (place / "wrong.yaml").write_text(swapped(BOARD, ("view: core", "veiw: core")), "utf-8")
    done = corewright("storyboard", "wrong.yaml", "--out", "made")
    assert (done.status, done.out) == (2, "")
    assert done.err.startswith("wrong.yaml:5: shots[0].veiw: read 'veiw'; allowed: keys name, view")


# In vain

PICTURE = ("picture", "dunlin.yaml", "--out", "x.png")
CORE = (*PICTURE, "--view", "core", *SMALL)
MAP = ("picture", "drilled.yaml", "--view", "axis-map", "--out")
FILM = ("film", "dunlin.yaml", "--out", "x.mp4", "--view", "core", "--seconds", "0.1", *SMALL)
TURN = ("film", "dunlin.yaml", "--view", "core", "--seconds", "0.1", *SMALL, "--out")
IN_VAIN: list[tuple[tuple[str, ...], str]] = [
    # what is read
    (("picture", "none.yaml", "--out", "x.png"), "none.yaml"),
    (("picture", ".", "--out", "x.png"), "."),
    (("picture", "empty.yaml", "--out", "x.png"), "the file is empty"),
    (("picture", "broken.yaml", "--out", "x.png"), "broken.yaml:"),
    (("picture", "binary.yaml", "--out", "x.png"), "binary.yaml"),
    (("picture", "mine.txt", "--out", "x.png"), "mine.txt:1"),
    (("picture", "board.yaml", "--out", "x.png"), "allowed: 'corewright 1'"),
    (("picture", "x" * 300, "--out", "x.png"), "too long"),
    (("film", "none.yaml", "--out", "x.mp4"), "none.yaml"),
    (("film", "board.yaml", "--out", "x.mp4"), "allowed: 'corewright 1'"),
    (("storyboard", "none.yaml", "--out", "x"), "none.yaml"),
    (("storyboard", "dunlin.yaml", "--out", "x"), "allowed: corewright storyboard 1"),
    (("storyboard", ".", "--out", "x"), "."),
    (("storyboard", "empty.yaml", "--out", "x"), "the file is empty"),
    (("storyboard", "binary.yaml", "--out", "x"), "binary.yaml"),
    # words of the command
    (("picture", "dunlin.yaml"), "--out"),
    (("picture", "--out", "x.png"), "FILE"),
    (("film", "dunlin.yaml"), "--out"),
    (("storyboard", "board.yaml"), "--out"),
    ((*CORE, "--colour"), "--colour"),
    ((*CORE, "--layers", "more"), "more"),
    ((*CORE, "--toward", "north"), "--toward"),
    ((*FILM, "--fps", "29.97"), "--fps"),
    ((*FILM, "--fps", "many"), "--fps"),
    ((*FILM, "--seconds", "long"), "--seconds"),
    # where it is to be written
    (("picture", "dunlin.yaml", "--view", "core", "--out", "x.jpg"), "ends in .png or .glb"),
    (("picture", "dunlin.yaml", "--view", "core", "--out", "x"), "ends in .png or .glb"),
    (("picture", "dunlin.yaml", "--view", "core", "--out", ""), "ends in .png or .glb"),
    (("picture", "dunlin.yaml", "--view", "core", "--out", "no/x.png"), "there is no folder"),
    (("picture", "dunlin.yaml", "--view", "core", "--out", "mine.txt/x.png"), "mine.txt"),
    (("picture", "dunlin.yaml", "--view", "core", "--out", "x" * 300 + ".png"), "too long"),
    (("picture", "dunlin.yaml", "--view", "core", "--out", "theirs", "--layers"), "not ours"),
    (("picture", "dunlin.yaml", "--view", "core", "--out", ".", "--layers"), "folder you are in"),
    (("picture", "dunlin.yaml", "--view", "core", "--out", "mine.txt", "--layers"), "is a file"),
    ((*TURN, "x.avi"), "nothing is written as '.avi'"),
    ((*TURN, "no/x.mp4"), "there is no folder"),
    ((*TURN, "theirs"), "not ours"),
    ((*TURN, "."), "folder you are in"),
    ((*TURN, ""), "folder you are in"),
    ((*TURN, ".."), "folder you are in"),
    ((*TURN, "/"), "folder you are in"),
    ((*TURN, "begun.mp4"), "begun.mp4.unfinished holds the beginnings of another clip"),
    ((*TURN, "x" * 245 + ".mp4"), "too long"),
    (("storyboard", "board.yaml", "--out", "theirs"), "not ours"),
    (("storyboard", "board.yaml", "--out", "no/made"), "there is no folder"),
    (("storyboard", "board.yaml", "--out", "mine.txt"), "is a file"),
    (("storyboard", "board.yaml", "--out", "."), "folder you are in"),
    (("picture", "dunlin.yaml", "--out", "x.glb", *SMALL), "no size in px"),
    # sizes
    *(((*PICTURE, "--size", size), "is no size")
      for size in ("big", "1920", "x", "1920x", "x1080", "640x360x2", "1e3x1e3", "12.5x7")),
    *(((*PICTURE, "--view", "core", "--size", size), "from 360 to 8192")
      for size in ("10x10", "99999x1080", "-5x100", "0x0", f"1{'0' * 30}x1080")),
    ((*FILM, "--size", "481x360"), "give a width of 480 or 482 px"),
    ((*FILM, "--size", ""), "is no size"),
    ((*FILM, "--size", "0x0"), "too small"),
    ((*TURN, "x.gif", "--size", "1080p"), "at most 1280 px"),
    # looks, pages, wishes
    ((*CORE, "--look", "dawn"), "the looks are shore, dusk, ink"),
    ((*CORE, "--look", ""), "the looks are shore, dusk, ink"),
    ((*FILM, "--look", "Shore"), "the looks are shore, dusk, ink"),
    ((*CORE, "--leave-out", "ball"), "what can: card, labels"),
    ((*CORE, "--leave-out", "card;labels"), "what can: card, labels"),
    ((*CORE, "--faces", "dotted"), "they are hatched or plain"),
    ((*CORE, "--faces", "plain"), "takes no --faces"),
    ((*CORE, "--toward", "0"), "takes no --toward"),
    ((*CORE, "--opening", "0"), "takes no --opening"),
    *(((*PICTURE, "--opening", angle), "from 10 to 300")
      for angle in ("0", "9.99", "301", "-90", "nan", "inf")),
    *(((*CORE, "--above", angle), "from -80 to 80") for angle in ("81", "-90", "nan", "-inf")),
    *(((*CORE, "--from", angle), "is no azimuth") for angle in ("361", "1e9", "nan", "inf")),
    *(((*PICTURE, "--toward", angle), "is no azimuth") for angle in ("-361", "nan")),
    ((*FILM, "--opening", "60"), "takes no --opening"),
    ((*FILM, "--number", "density of clay"), "--number"),
    # views and balls
    ((*PICTURE, "--view", "cutawey"), "the views are cutaway"),
    ((*PICTURE, "--view", ""), "the views are cutaway"),
    ((*PICTURE, "--view", "sizes"), "1 were given"),
    ((*PICTURE, "--view", "before-after", "--beside", "godwit.yaml", "--beside", "varied.yaml"),
     "shows 2 balls, and 3 were given"),
    ((*PICTURE, "--view", "sizes", *6 * ("--beside", "godwit.yaml")), "7 were given"),
    ((*CORE, "--beside", "godwit.yaml"), "shows one ball"),
    ((*PICTURE, "--view", "sizes", "--beside", "none.yaml"), "none.yaml"),
    *(((*PICTURE, "--view", view), "is not drilled")
      for view in ("drilled", "bored", "taken", "rings", "axis-map", "pin-map")),
    (("picture", "plain.yaml", "--view", "core", "--out", "x.png"), "has no core"),
    ((*MAP, "x.glb"), "it is written as a PNG, no more"),
    ((*MAP, "x", "--layers"), "it is written as a PNG, no more"),
    ((*MAP, "x.png", "--captions"), "it is written as a PNG, no more"),
    ((*MAP, "x.png", "--transparent"), "it has one look, a background"),
    ((*MAP, "x.png", "--look", "ink"), "it has one look, a background"),
    ((*MAP, "x.png", "--from", "3"), "takes no --from"),
    # films
    ((*FILM, "--move", "spin"), "the moves are turntable"),
    ((*FILM, "--move", ""), "the moves are turntable"),
    ((*FILM, "--move", "spins"), "it films axes"),
    ((*FILM, "--view", "section"), "cannot film the view 'section'"),
    ((*FILM, "--view", "corr"), "cannot film the view 'corr'"),
    ((*FILM, "--view", "", "--move", "morph"), "nothing of Dunlin may vary"),
    ((*FILM, "--view", "", "--move", "roll"), "no axis point"),
    ((*FILM, "--view", "rings"), "is not drilled"),
    *(((*FILM, "--seconds", time), "it may last up to 120 s")
      for time in ("0", "-1", "121", "nan", "inf", "1e300")),
    *(((*FILM, "--fps", rate), "cannot be had") for rate in ("0", "-24", "23", "48", "1000000")),
    ((*TURN, "x.gif", "--fps", "60"), "60 frames per second cannot be kept"),
    ((*FILM, "--transparent"), ".mp4 carries no transparency"),
    *(((*FILM, "--renderers", count), "from 1 to 16 can") for count in ("0", "-1", "17")),
    (("film", "varied.yaml", "--out", "x.apng", "--move", "morph", "--number", "size", *SMALL),
     "those that may are 'inner core size.z', 'density of clay'"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("words", "says"), IN_VAIN, ids=[" ".join(words)[:80] for words, _ in IN_VAIN]
)
def test_what_is_asked_in_vain_is_told(place: Path, words: tuple[str, ...], says: str) -> None:
    assert place.is_dir()
    done = corewright(*words)
    assert (done.status, done.out) == (2, "")
    assert says in done.err


@pytest.mark.parametrize(
    "words", [words for words, _ in IN_VAIN], ids=[" ".join(words)[:80] for words, _ in IN_VAIN]
)
def test_what_is_asked_in_vain_leaves_nothing_behind(place: Path, words: tuple[str, ...]) -> None:
    before = lying(place)
    corewright(*words)
    assert lying(place) == before


@pytest.mark.parametrize("view", every_view())
def test_the_list_of_views_has_every_one(place: Path, view: str) -> None:
    assert place.is_dir()
    assert view in corewright(*PICTURE, "--view", "none").err


def test_all_of_them_are_commands() -> None:
    commands = {cli_pictures.picture, cli_pictures.film, cli_pictures.storyboard}
    assert commands <= {command.callback for command in cli.app.registered_commands}
