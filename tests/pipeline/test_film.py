"""Real short films: as an independent reader sees them, painted as stills are, and interrupted."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import psutil
import pytest
from PIL import Image

from pipeline import film as filming
from pipeline.arrange import Page, frame_for, sheet_of
from pipeline.ball import build_ball
from pipeline.clip import ClipRefused
from pipeline.errors import OutputError
from pipeline.film import (
    LONGEST_S,
    Film,
    captions_of,
    check_film,
    frames_of,
    shoot_film,
)
from pipeline.frame_painter import Painter
from pipeline.grounding import light_in_hollows
from pipeline.job import Shot
from pipeline.load import load
from pipeline.looks import LOOKS
from pipeline.moves import take_of
from pipeline.paint import paint
from pipeline.render import Renderer, job_of
from pipeline.scene import Scene
from pipeline.sheet import Sheet
from pipeline.take import Caption, Take
from pipeline.unfinished import unfinished
from pipeline.wish import AS_IT_SUITS, Wish
from tests.pipeline.film import _run as ffmpeg
from tests.pipeline.film import look, times_s
from tests.pipeline.filmed import BRICK, CLOSE, brick, varied

ROOT = Path(__file__).parents[2]
WIDE, HIGH = SIZE = (480, 360)
CORE = Film("turntable", "core", 0.25, 24, SIZE)  # six frames, of the view that is cut soonest
CLEAR = replace(CORE, transparent=True, page=Page(card=False, labels=False, safe=True))
MADE = {".mp4": CORE, ".webm": CLEAR, ".mov": CLEAR, ".gif": replace(CORE, fps=25, seconds=0.24)}
WITH_ALPHA = {".webm": ("-c:v", "libvpx-vp9")}  # the reader's own decoder leaves alpha out


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """A film of each format, shot once."""
    place = tmp_path_factory.mktemp("made")

    def make(suffix: str) -> Path:
        target = place / f"film{suffix}"
        if not target.exists():
            shoot_film(brick(), MADE[suffix], target)
        return target

    return make


def decoded(path: Path) -> np.ndarray:
    """All frames by the independent reader, shape (frames, h, w, 4)."""
    raw = ffmpeg(
        *WITH_ALPHA.get(path.suffix, ()), "-i", str(path), "-fps_mode", "passthrough", "-f",
        "rawvideo", "-pix_fmt", "rgba", "-",
    ).stdout  # fmt: skip
    return np.frombuffer(raw, np.uint8).reshape(-1, HIGH, WIDE, 4)


@pytest.fixture(scope="module")
def shot() -> dict[bool, np.ndarray]:
    """The frames themselves, opaque and clear."""
    takes = {film.transparent: (film, take_of(brick(), "turntable", "core", AS_IT_SUITS))
             for film in (CORE, CLEAR)}  # fmt: skip
    return {
        clear: np.array([np.array(f) for f in frames_of(take, film, range(6))])
        for clear, (film, take) in takes.items()
    }


# What the independent reader says


@pytest.mark.parametrize(
    ("suffix", "codec"),
    [(".mp4", "h264"), (".webm", "vp9"), (".mov", "prores (4444)"), (".gif", "gif")],
)
def test_codec_size_and_rate(made: Callable[[str], Path], suffix: str, codec: str) -> None:
    seen = look(made(suffix))
    assert (seen.codec.startswith(codec), seen.size, seen.fps) == (True, SIZE, MADE[suffix].fps)


@pytest.mark.parametrize("suffix", MADE)
def test_frames_and_duration(made: Callable[[str], Path], suffix: str) -> None:
    """Six frames, each for its share of the clip; WebM counts in 1/1000 s."""
    times = times_s(made(suffix))
    ends = [float(at + held) for at, held in times]
    due = [(k + 1) / MADE[suffix].fps for k in range(6)]
    assert ends == pytest.approx(due, abs=0.0011)


@pytest.mark.parametrize(("suffix", "near"), [(".mp4", 40.0), (".gif", 22.0)])
def test_frames_come_back(
    made: Callable[[str], Path], shot: dict[bool, np.ndarray], suffix: str, near: float
) -> None:
    """All but one pixel in a hundred within what the format takes of an edge in colour."""
    off = np.abs(decoded(made(suffix)).astype(int) - shot[False])[..., :3].max(axis=-1)
    assert float(np.quantile(off, 0.99)) <= near


@pytest.mark.parametrize(("suffix", "near"), [(".webm", 6), (".mov", 0)])
def test_the_background_of_a_clear_film_is_not_there(
    made: Callable[[str], Path], shot: dict[bool, np.ndarray], suffix: str, near: int
) -> None:
    """Wherever nothing was drawn in a frame or within 8 px of it; WebM keeps alpha with a loss."""
    blank = ~np.array([_grown(frame[..., 3] > 0, 8) for frame in shot[True]])
    assert blank.mean() > 0.3
    assert int(decoded(made(suffix))[..., 3][blank].max()) <= near


@pytest.mark.parametrize(("suffix", "near"), [(".webm", 6), (".mov", 0)])
def test_the_ball_of_a_clear_film_is_there(
    made: Callable[[str], Path], shot: dict[bool, np.ndarray], suffix: str, near: int
) -> None:
    solid = np.array([~_grown(frame[..., 3] < 255, 8) for frame in shot[True]])
    assert solid.mean() > 0.05
    assert int(decoded(made(suffix))[..., 3][solid].min()) >= 255 - near


def _grown(there: np.ndarray, by: int) -> np.ndarray:
    """Pixels that are there, or so near to one that is."""
    found = there.copy()
    for axis in (0, 1):
        found = np.any([np.roll(found, k, axis) for k in range(-by, by + 1)], axis=0)
    return found


def test_every_frame_differs_from_the_one_before(shot: dict[bool, np.ndarray]) -> None:
    assert all(not np.array_equal(a, b) for a, b in pairwise(shot[False]))


def test_a_folder_holds_the_frames_themselves(shot: dict[bool, np.ndarray], tmp_path: Path) -> None:
    shoot_film(brick(), CLEAR, tmp_path / "frames")
    found = [np.array(Image.open(path)) for path in sorted((tmp_path / "frames").glob("*.png"))]
    assert np.array_equal(found, shot[True])


def test_any_number_of_renderers_gives_the_same_frames(shot: dict[bool, np.ndarray]) -> None:
    """One after the other they render what one does."""
    take = take_of(brick(), "turntable", "core", AS_IT_SUITS)
    found = [np.array(frame) for frame in frames_of(take, CORE, range(6), 2)]
    assert np.array_equal(found, shot[False])


@pytest.mark.parametrize("renderers", [0, -1, 17])
def test_a_number_of_renderers_that_cannot_work_is_refused(renderers: int, tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=f"{renderers} renderers cannot work; from 1 to 16 can"):
        shoot_film(brick(), CORE, tmp_path / "film.mp4", renderers=renderers)


# Painted as stills are


def filmed(look_name: str, share: float = 0.3) -> tuple[Scene, Sheet, Shot]:
    film = Film("turntable", "quarter", size=SIZE, look=LOOKS[look_name])
    take = take_of(brick(), film.move, film.view, film.wish)
    scene = take.at(share)
    sheet = sheet_of(scene, frame_for([take.at(s) for s in take.samples], SIZE, film.page))
    with Renderer() as renderer:
        renderer.send(job_of(scene, sheet, film.look))
        found = renderer.fetch()
        return scene, sheet, Shot(found.ball.copy(), found.over.copy(), found.depth_mm.copy())


@pytest.fixture(scope="module")
def staged() -> dict[str, tuple[Scene, Sheet, Shot]]:
    return {name: filmed(name) for name in ("shore", "ink")}


@pytest.mark.parametrize("transparent", [False, True])
def test_drawn_frames_are_painted_as_stills_are(
    staged: dict[str, tuple[Scene, Sheet, Shot]], transparent: bool
) -> None:
    """Within 2 of 255 of colour times alpha, since alpha is rounded in another order."""
    scene, sheet, found = staged["ink"]
    frame = Painter(LOOKS["ink"], transparent=transparent).paint(scene, sheet, found)
    still = paint(scene, sheet, found, LOOKS["ink"], transparent=transparent).convert("RGBA")
    assert int(np.abs(_times_alpha(frame) - _times_alpha(np.array(still))).max()) <= 2


@pytest.fixture(scope="module", params=[False, True])
def hollows(
    staged: dict[str, tuple[Scene, Sheet, Shot]], request: pytest.FixtureRequest
) -> tuple[np.ndarray, np.ndarray]:
    """Of a lit frame and a still, of 255, by how much each pixel differs; and which are in hollows.

    Those within 2 px of one are, since a film works its hollows out on 2 x 2 px.
    """
    scene, sheet, found = staged["shore"]
    frame = Painter(LOOKS["shore"], transparent=request.param).paint(scene, sheet, found)
    still = paint(scene, sheet, found, LOOKS["shore"], transparent=request.param).convert("RGBA")
    light = light_in_hollows(found.depth_mm, sheet.px_per_mm)
    deep = np.zeros((HIGH, WIDE), bool)
    top, left = int(sheet.stage.top), int(sheet.stage.left)
    deep[top : top + light.shape[0], left : left + light.shape[1]] = _grown(light < 0.999, 2)
    return np.abs(_times_alpha(frame) - _times_alpha(np.array(still))).max(axis=-1), deep


def test_lit_frames_are_painted_as_stills_are_outside_of_hollows(
    hollows: tuple[np.ndarray, np.ndarray],
) -> None:
    """Within 2 of 255."""
    off, deep = hollows
    assert int(off[~deep].max()) <= 2


def test_hollows_of_lit_frames_are_nearly_those_of_stills(
    hollows: tuple[np.ndarray, np.ndarray],
) -> None:
    """On half as many pixels each way: nine in ten within 8 of 255, all within 40, at edges."""
    off, deep = hollows
    assert (np.quantile(off[deep], 0.9) <= 8, int(off.max()) <= 40) == (True, True)


def test_a_painter_that_painted_before_paints_the_same(
    staged: dict[str, tuple[Scene, Sheet, Shot]],
) -> None:
    """What it keeps from frame to frame leaves no trace of the frame before."""
    scene, sheet, found = staged["shore"]
    painter = Painter(LOOKS["shore"], transparent=False)
    first = np.array(painter.paint(scene, sheet, found))
    other = replace(scene, name="Godwit", floor_mm=None)
    painter.paint(other, sheet, Shot(found.ball[::-1].copy(), found.over, found.depth_mm))
    assert np.array_equal(painter.paint(scene, sheet, found), first)


def _times_alpha(pixels: np.ndarray) -> np.ndarray:
    """Colours times alpha, and alpha: where nothing is, colours are none."""
    found = pixels.astype(int)
    found[..., :3] = np.rint(found[..., :3] * (found[..., 3:] / 255.0))
    return found


# The frame does not jump


@pytest.mark.parametrize(
    ("move", "view"), [("turntable", "axes"), ("spins", "axes"), ("morph", "ghost")]
)
def test_words_stand_still(move: str, view: str) -> None:
    """Every label has one place in all frames in which it is, by its first word's meaning."""
    take = take_of(varied(), move, view, AS_IT_SUITS)
    frame = frame_for([take.at(s) for s in take.samples], SIZE, Page(safe=True))
    boxes: dict[str, set[object]] = {}
    for share in take.shares(9):
        scene = take.at(share)
        for label, callout in zip(scene.labels, sheet_of(scene, frame).callouts, strict=True):
            boxes.setdefault(label.known_by, set()).add(callout.box)
    assert {key: len(found) for key, found in boxes.items()} == dict.fromkeys(boxes, 1)


@pytest.mark.parametrize(("move", "view"), [("turntable", "axes"), ("morph", "ghost")])
def test_the_stage_and_its_scale_stand_still(move: str, view: str) -> None:
    take = take_of(varied(), move, view, AS_IT_SUITS)
    frame = frame_for([take.at(s) for s in take.samples], SIZE, Page(safe=True))
    sheets = [sheet_of(take.at(share), frame) for share in take.shares(9)]
    assert {(s.stage, s.origin, s.px_per_mm, s.em, s.scale) for s in sheets} == {
        (frame.stage, frame.origin, frame.px_per_mm, frame.em, sheets[0].scale)
    }


def test_words_keep_clear_of_the_edges(shot: dict[bool, np.ndarray]) -> None:
    """A twentieth of width and height, SMPTE ST 2046-1: beyond it there is smooth paper alone.

    Paper changes from one pixel to the next by a level, and by one more for its unrest.
    """
    frame = shot[False][0].astype(int)[..., :3]
    x, y = WIDE // 20, HIGH // 20
    edges = [frame[:y], frame[-y:], frame[:, :x], frame[:, -x:]]
    steps = [np.abs(np.diff(edge, axis=axis)).max() for edge in edges for axis in (0, 1)]
    assert max(steps) <= 2


# Interrupted


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, bytes]:
    """A design in a file, and the bytes of a film of it that nothing interrupted."""
    place = tmp_path_factory.mktemp("whole")
    design = place / "dunlin.yaml"
    design.write_text(BRICK, encoding="utf-8")
    film = replace(CORE, seconds=0.5)
    shoot_film(build_ball(load(design)), film, place / "film.apng")
    return design, (place / "film.apng").read_bytes()


def command(design: Path, target: Path) -> list[str]:
    return [
        sys.executable, "-m", "pipeline.cli", "film", str(design), "--out", str(target), "--view",
        "core", "--seconds", "0.5", "--fps", "24", "--size", f"{WIDE}x{HIGH}",
    ]  # fmt: skip


DIES = """
import os, signal, sys
from contextlib import contextmanager
import psutil
from pipeline import cli, cli_pictures

def told(done, of):
    if done == 6:
        print(*(one.pid for one in psutil.Process().children()), flush=True)
        os.kill(os.getpid(), signal.SIGKILL)

@contextmanager
def progress(_):
    yield told

cli_pictures.progress = progress
cli.main()
"""


@dataclass(frozen=True)
class Killed:
    """A film whose command was killed half through.

    Attributes:
        target: of the film.
        status: that it ended with.
        place: where it kept what is its own while it ran.
        renderer: its process, or None when that ended before it could be looked at.
    """

    target: Path
    status: int
    place: Path
    renderer: psutil.Process | None

    def wait(self) -> bool:
        """Whether the renderer ends in time: a frame takes well under 20 s."""
        ends = time.monotonic() + 20.0
        while self.renderer is not None and time.monotonic() < ends:
            try:
                if self.renderer.status() == psutil.STATUS_ZOMBIE:
                    return True
            except psutil.NoSuchProcess:
                return True
            time.sleep(0.02)
        return self.renderer is None


@pytest.fixture(scope="module")
def killed(whole: tuple[Path, bytes], tmp_path_factory: pytest.TempPathFactory) -> Killed:
    folder = tmp_path_factory.mktemp("killed")
    place = folder / "own"
    place.mkdir()
    done = subprocess.run(
        [sys.executable, "-c", DIES, *command(whole[0], folder / "film.apng")[3:]],
        env={**os.environ, "PYTHONPATH": str(ROOT), "TMPDIR": str(place)},
        stdout=subprocess.PIPE, timeout=90, check=False,
    )  # fmt: skip
    try:
        renderer = psutil.Process(int(done.stdout))
    except psutil.NoSuchProcess:
        renderer = None
    return Killed(folder / "film.apng", done.returncode, place, renderer)


def test_a_killed_film_leaves_its_pieces_and_no_film(killed: Killed) -> None:
    pieces = list(unfinished(killed.target).glob("piece-*"))
    assert (killed.status, killed.target.exists()) == (-signal.SIGKILL, False)
    assert 3 <= len(pieces) <= 6  # two frames may wait for the encoder, and one be in its hands


def test_a_killed_film_leaves_no_renderer_behind(killed: Killed) -> None:
    """It ends by itself once nobody speaks to it any more."""
    assert killed.wait()


def test_a_killed_film_leaves_no_pictures_in_the_systems_own_place(killed: Killed) -> None:
    """At 4K they would be 200 MB each time; the renderer outlives it and could clear them."""
    killed.wait()
    assert list(killed.place.iterdir()) == []


def test_a_killed_film_goes_on_and_has_the_same_bytes(
    killed: Killed, whole: tuple[Path, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """In this process; no frame is shot again whose piece was done."""
    target, (design, due) = killed.target, whole
    done = {int(p.stem[6:]) - 1 for p in unfinished(target).glob("piece-*")}
    asked: list[int] = []

    def counted(
        take: Take, film: Film, wanted: Sequence[int], renderers: int
    ) -> Iterator[np.ndarray]:
        asked.extend(wanted)
        return frames_of(take, film, wanted, renderers)

    monkeypatch.setattr(filming, "frames_of", counted)
    shoot_film(build_ball(load(design)), replace(CORE, seconds=0.5), target)
    assert (sorted({*asked, *done}), set(asked) & done) == (list(range(12)), set())
    assert target.read_bytes() == due


def test_a_drilling_of_a_ball_that_changed_does_not_go_on_with_it(tmp_path: Path) -> None:
    """The holes are in one file, the ball is in another: both make the film what it is."""
    ball, drilling = tmp_path / "dunlin.yaml", tmp_path / "drilled.yaml"
    ball.write_text(BRICK, encoding="utf-8")
    drilling.write_text(
        "format: corewright drilling 1\ndesign: dunlin.yaml\nunits: in\ndrilling:\n  holes:\n"
        "    - {name: thumb, use: thumb, at: {arc: 6.75 in, azimuth: 30 deg}, diameter: 1, "
        "depth: 2}\n",
        encoding="utf-8",
    )
    broken(build_ball(load(drilling)), tmp_path / "film.apng")
    ball.write_text(BRICK.replace("2.8, 3.5, 4.9", "2.5, 3.6, 4.6"), encoding="utf-8")
    with pytest.raises(OutputError, match="beginnings of another clip"):
        shoot_film(build_ball(load(drilling)), CORE, tmp_path / "film.apng")


def broken(ball: object, target: Path) -> None:
    """Begin a film that breaks after its first frame."""

    def told(done: int, _of: int) -> None:
        if done == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        shoot_film(ball, CORE, target, told)  # type: ignore[arg-type]  # a Ball


def test_a_film_whose_words_find_no_room_leaves_nothing_behind(tmp_path: Path) -> None:
    """Else the same at a larger size would be refused for the beginnings of this one."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(filming, "frame_for", _no_room)
        with pytest.raises(OutputError, match="no room"):
            shoot_film(brick(), CORE, tmp_path / "film.apng")
    assert list(tmp_path.iterdir()) == []


def _no_room(*_: object) -> None:
    raise OutputError("the words of this picture find no room")


def test_a_film_that_breaks_leaves_no_renderer_behind(tmp_path: Path) -> None:
    broken(brick(), tmp_path / "film.apng")
    assert renderers() == []


# Memory, and strange places


def renderers() -> list[psutil.Process]:
    """Renderers that this process has open."""
    found = psutil.Process().children()
    return [one for one in found if "pipeline.studio" in " ".join(one.cmdline())]


def test_a_renderer_does_not_grow() -> None:
    """After 60 frames it holds what it held after 10, to 15 MB, a tenth of what it takes."""
    take = take_of(brick(), "turntable", "core", AS_IT_SUITS)
    film = Film("turntable", "core", 2.5, 24, CLOSE, page=Page(card=False, labels=False))
    held = []
    for k, _ in enumerate(frames_of(take, film, range(60)), 1):
        if k in (10, 60):
            (renderer,) = renderers()
            held.append(renderer.memory_info().rss / 1e6)
    assert held[1] - held[0] < 15.0


def test_a_renderer_does_not_keep_the_bodies_of_every_frame() -> None:
    """Each frame has a body of its own of 2 MB and more; 18 that were kept would be 36 MB."""
    film = Film("turntable", "rg-sphere", 1.0, 24, CLOSE, page=Page(card=False, labels=False))
    scene = take_of(brick(), film.move, film.view, AS_IT_SUITS).at(0.0)
    (body,) = (s for s in scene.surfaces if s.tints is not None)
    assert body.points_mm.nbytes + body.normals.nbytes + body.tints.nbytes > 2e6

    def at(_share: float) -> Scene:
        return replace(scene, surfaces=(replace(body, points_mm=body.points_mm.copy()),))

    held = []
    for k, _ in enumerate(frames_of(Take(at, True, (), (0.0,)), film, range(24)), 1):
        if k in (6, 24):
            (renderer,) = renderers()
            held.append(renderer.memory_info().rss / 1e6)
    assert held[1] - held[0] < 15.0


@pytest.fixture(scope="module")
def elsewhere(
    whole: tuple[Path, bytes], tmp_path_factory: pytest.TempPathFactory
) -> list[tuple[Path, int, bytes]]:
    """The same film by two processes at once that have no environment, so no display either."""
    place = tmp_path_factory.mktemp("elsewhere")
    targets = [place / f"film-{k}.apng" for k in range(2)]
    running = [
        subprocess.Popen(
            command(whole[0], target), env={"PYTHONPATH": str(ROOT)}, stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        for target in targets
    ]  # fmt: skip
    said = [one.communicate(timeout=180) for one in running]
    return [
        (target, one.returncode, err)
        for target, one, (_, err) in zip(targets, running, said, strict=True)
    ]


def test_it_needs_no_environment(elsewhere: list[tuple[Path, int, bytes]]) -> None:
    assert [status for _, status, _ in elsewhere] == [0, 0]


def test_it_says_nothing_on_standard_error(elsewhere: list[tuple[Path, int, bytes]]) -> None:
    assert [err for *_, err in elsewhere] == [b"", b""]


def test_two_at_once_have_the_bytes_of_one_alone(
    elsewhere: list[tuple[Path, int, bytes]], whole: tuple[Path, bytes]
) -> None:
    assert [target.read_bytes() == whole[1] for target, *_ in elsewhere] == [True, True]


# What is asked


@pytest.mark.parametrize(
    ("change", "target", "says"),
    [
        ({"seconds": 0.0}, "film.mp4", "a film of 0 s cannot be made; it may last up to 120 s"),
        ({"seconds": -1.0}, "film.mp4", "a film of -1 s cannot be made"),
        ({"seconds": 121.0}, "film.mp4", "a film of 121 s cannot be made"),
        ({"seconds": float("nan")}, "film.mp4", "a film of nan s cannot be made"),
        ({"seconds": float("inf")}, "film.mp4", "a film of inf s cannot be made"),
        ({"size": (641, 360)}, "film.mp4", "give a width of 640 or 642 px"),
        ({"size": (640, 361)}, "film.webm", "give a height of 360 or 362 px"),
        ({"transparent": True}, "film.mp4", ".mp4 carries no transparency; .mov, .webm"),
        ({"fps": 48}, "film.mp4", "48 frames per second cannot be had; give 24, 25, 30 or 60"),
        ({"fps": 0}, "film.mp4", "0 frames per second cannot be had"),
        ({"fps": 60}, "film.gif", "60 frames per second cannot be kept"),
        ({"size": (1920, 1080)}, "film.gif", "width and height are at most 1280 px"),
        ({"size": (320, 240)}, "film.mp4", "may each be from 360 to 8192 px"),
        ({"move": "twirl"}, "film.mp4", "no move 'twirl'; the moves are turntable"),
        ({}, "film.avi", "nothing is written as '.avi'"),
    ],
)
def test_a_film_that_cannot_be_is_refused_before_any_work(
    change: dict[str, object], target: str, says: str, tmp_path: Path
) -> None:
    film = replace(CORE, **change)  # type: ignore[arg-type]  # fields of a Film
    with pytest.raises(OutputError) as refusal:
        check_film(film, tmp_path / target)
    assert says in str(refusal.value)


def test_the_longest_film_is_not_refused(tmp_path: Path) -> None:
    assert check_film(replace(CORE, seconds=LONGEST_S), tmp_path / "film.mp4") is None


def test_all_that_a_format_cannot_hold_is_told_at_once(tmp_path: Path) -> None:
    film = replace(CORE, size=(641, 361), transparent=True, fps=48)
    with pytest.raises(ClipRefused) as refusal:
        check_film(film, tmp_path / "film.mp4")
    assert len(str(refusal.value).splitlines()) == 4


def test_a_wish_that_the_view_does_not_heed_leaves_nothing_behind(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="'core' takes no --toward"):
        shoot_film(brick(), replace(CORE, wish=Wish(toward_deg=3.0)), tmp_path / "film.mp4")
    assert list(tmp_path.iterdir()) == []


def test_a_film_lasts_as_long_as_suits_its_move() -> None:
    assert Film("spins", "axes", fps=25).clip.frames == 9 * 25  # as docs/pictures.md has it


@pytest.mark.parametrize(("seconds", "frames"), [(0.001, 1), (0.5, 12), (1 / 3, 8), (120.0, 2880)])
def test_frames_fill_the_time(seconds: float, frames: int) -> None:
    """At 24 a second, to the nearest, and one at least."""
    assert replace(CORE, seconds=seconds).clip.frames == frames


def test_captions_run_over_the_whole_clip() -> None:
    said = captions_of([Caption(0.0, 1.0, "Turning.")], replace(CORE, seconds=2.0))
    assert said.endswith("00:00:00.000 --> 00:00:02.000\nTurning.\n")


def test_progress_is_told_from_nought_to_all(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    shoot_film(brick(), CLEAR, tmp_path / "film.apng", lambda a, b: told.append((a, b)))
    assert told == [(k, 6) for k in range(7)]
