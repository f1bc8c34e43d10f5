"""Clips as an independent reader sees them, and work that was interrupted."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tracemalloc
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from pipeline import reel
from pipeline.clip import FORMATS, Clip, ClipRefused, PieceDamaged
from pipeline.encoders import Converter
from pipeline.errors import OutputError
from pipeline.folder import FORMAT, MANIFEST
from pipeline.reel import write_clip
from pipeline.unfinished import unfinished
from tests.pipeline.film import (
    CLEAR,
    SIZE,
    STAYS,
    Camera,
    CameraBroken,
    colour,
    decode,
    field,
    frame,
    look,
    times_s,
)

ROOT = Path(__file__).parents[2]
KEY = {"design": "a1b2", "move": "turn"}
CLIP = Clip(SIZE, 24, 60, transparent=False)  # two seconds and a half: three pieces of video
VIDEOS = (".mp4", ".mov", ".webm")
MADE = [  # every format, and every one that carries transparency once more with it
    *((suffix, False) for suffix in FORMATS),
    *((suffix, True) for suffix, form in FORMATS.items() if form.transparent),
]
VIDEOS_MADE = [made for made in MADE if made[0] in VIDEOS]
WITH_ALPHA = ("-c:v", "libvpx-vp9")  # the reader's own decoder of it leaves alpha out
NEAR = {".mp4": 6, ".mov": 1, ".webm": 10}  # of 255, for colours that jump from frame to frame

Maker = Callable[[str, bool], Path]


def write(target: Path, clip: Clip = CLIP, fails_after: int | None = None) -> Camera:
    camera = Camera(clip, fails_after)
    write_clip(target, clip, KEY, camera)
    return camera


def contents(target: Path) -> bytes:
    if target.is_file():
        return target.read_bytes()
    return b"".join(path.name.encode() + path.read_bytes() for path in sorted(target.iterdir()))


def decoder(suffix: str, transparent: bool) -> tuple[str, ...]:
    return WITH_ALPHA if suffix == ".webm" and transparent else ()


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Maker:
    """Clips that were made at once, each of them once."""
    place = tmp_path_factory.mktemp("made")

    def make(suffix: str, transparent: bool) -> Path:
        target = place / f"{'clear' if transparent else 'opaque'}{suffix}"
        if not target.exists():
            write(target, replace(CLIP, transparent=transparent))
        return target

    return make


# What the independent reader says


@pytest.mark.parametrize(
    ("suffix", "transparent", "codec", "layout"),
    [
        (".mp4", False, "h264 (High) (avc1", "yuv420p(tv, bt709"),
        (".mov", False, "prores (4444) (ap4h", "yuv444p12le(tv, bt709"),
        (".mov", True, "prores (4444) (ap4h", "yuva444p12le(tv, bt709"),
        (".webm", False, "vp9", "yuv420p(tv, bt709"),
        (".webm", True, "vp9", "yuva420p(tv, bt709"),
    ],
)
def test_codec_layout_and_colours_are_said(
    made: Maker, suffix: str, transparent: bool, codec: str, layout: str
) -> None:
    seen = look(made(suffix, transparent), *decoder(suffix, transparent))
    assert (seen.codec.startswith(codec), seen.layout.startswith(layout)) == (True, True), seen.text


@pytest.mark.parametrize(("suffix", "transparent"), VIDEOS_MADE)
def test_size_rate_and_duration_are_said(made: Maker, suffix: str, transparent: bool) -> None:
    seen = look(made(suffix, transparent))
    assert (seen.size, seen.fps) == (SIZE, 24)
    assert seen.duration_s == pytest.approx(2.5, abs=0.005)


@pytest.mark.parametrize(("suffix", "transparent"), VIDEOS_MADE)
def test_each_frame_has_its_time(made: Maker, suffix: str, transparent: bool) -> None:
    times = times_s(made(suffix, transparent))
    rounded = 0.0006 if suffix == ".webm" else 0.0  # WebM counts in 1/1000 s
    assert [float(at) for at, _ in times] == pytest.approx(
        [k / 24 for k in range(60)], abs=rounded, rel=1e-9
    )


@pytest.mark.parametrize(("suffix", "transparent"), VIDEOS_MADE)
def test_colours_come_back(made: Maker, suffix: str, transparent: bool) -> None:
    frames = decode(made(suffix, transparent), *decoder(suffix, transparent))
    assert len(frames) == 60
    wrong = [
        np.abs(field(frames, "stays")[..., :3] - STAYS).max(),
        np.abs(field(frames, "half clear")[..., :3] - CLEAR).max(),
        *(
            np.abs(field(frames[k : k + 1], "changes")[..., :3] - colour(k)).max()
            for k in range(60)
        ),
    ]
    assert max(wrong) <= NEAR[suffix]


@pytest.mark.parametrize(("suffix", "transparent"), VIDEOS_MADE)
def test_alpha_comes_back(made: Maker, suffix: str, transparent: bool) -> None:
    frames = decode(made(suffix, transparent), *decoder(suffix, transparent))
    there, half, gone = (
        set(np.unique(field(frames, name)[..., 3])) for name in ("stays", "half clear", "not there")
    )
    assert there == {255}
    assert half <= ({126, 127, 128, 129, 130} if transparent else {255})
    assert gone == ({0} if transparent else {255})


def test_webm_says_that_it_carries_alpha(made: Maker) -> None:
    assert "alpha_mode" in look(made(".webm", True)).text.lower()
    assert "alpha_mode" not in look(made(".webm", False)).text.lower()


def test_colour_is_sited_where_a_player_looks_for_it() -> None:
    """At the left of each pair of columns: an edge after column 32 is then not smeared alike."""
    red_then_blue = np.zeros((32, 64, 4), np.uint8)
    red_then_blue[:, :33, 0] = red_then_blue[:, 33:, 2] = red_then_blue[..., 3] = 255
    plane = Converter((64, 32), "yuv420p").convert(red_then_blue).planes[2]
    row = np.frombuffer(bytes(plane), np.uint8).reshape(16, -1)[8, 15:18]
    red, blue = 240, 118  # Cr of BT.709 in limited range
    assert row.tolist() == [red, pytest.approx(0.75 * red + 0.25 * blue, abs=1), blue]


@pytest.mark.parametrize(("suffix", "transparent"), [m for m in MADE if m[0] in (".mp4", ".mov")])
def test_what_a_player_needs_first_comes_first(made: Maker, suffix: str, transparent: bool) -> None:
    atoms = list(atoms_of(made(suffix, transparent).read_bytes()))
    assert atoms.index("moov") < atoms.index("mdat")


def atoms_of(data: bytes) -> Iterator[str]:
    at = 0
    while at < len(data):
        yield data[at + 4 : at + 8].decode()
        at += int.from_bytes(data[at : at + 4], "big")


def test_a_web_player_finds_its_way_before_the_first_frame(made: Maker) -> None:
    data = made(".webm", True).read_bytes()
    cues, cluster = b"\x1c\x53\xbb\x6b", b"\x1f\x43\xb6\x75"
    assert data.rindex(cues) < data.index(cluster)


def test_a_second_starts_with_a_whole_picture_and_no_frame_waits_for_a_later_one(
    made: Maker,
) -> None:
    import av

    with av.open(made(".mp4", False)) as film:
        assert not film.streams.video[0].codec_context.has_b_frames
        packets = [packet for packet in film.demux(video=0) if packet.size]
    assert [k for k, packet in enumerate(packets) if packet.is_keyframe] == [0, 24, 48]
    assert all(packet.pts == packet.dts for packet in packets)


# GIF, animated PNG and folders


def stills_of(path: Path) -> tuple[list[NDArray[np.uint8]], list[float]]:
    """Every frame as RGBA, and for how long it is shown, ms."""
    frames, shown_ms = [], []
    with Image.open(path) as image:
        for k in range(getattr(image, "n_frames", 1)):
            image.seek(k)
            frames.append(np.array(image.convert("RGBA")))
            shown_ms.append(float(image.info["duration"]))
    return frames, shown_ms


@pytest.mark.parametrize("transparent", [False, True])
def test_apng_comes_back_without_loss(made: Maker, transparent: bool) -> None:
    frames, shown_ms = stills_of(made(".apng", transparent))
    due = [frame(k, transparent=transparent) for k in range(60)]
    assert np.array_equal(frames, due)
    assert shown_ms == pytest.approx([1000 / 24] * 60)


@pytest.mark.parametrize("transparent", [False, True])
def test_gif_comes_back_in_few_colours(made: Maker, transparent: bool) -> None:
    frames, _ = stills_of(made(".gif", transparent))
    due = [frame(k, transparent=transparent) for k in range(60)]
    holes = [each[..., 3] < 128 for each in due]
    assert np.array_equal([each[..., 3] == 0 for each in frames], holes)
    assert (
        max(
            np.abs(found[~hole, :3].astype(int) - asked[~hole, :3]).max()
            for found, asked, hole in zip(frames, due, holes, strict=True)
        )
        <= 8
    )


@pytest.mark.parametrize("fps", [24, 25, 30])
def test_gif_keeps_its_length(tmp_path: Path, fps: int) -> None:
    write(tmp_path / "film.gif", replace(CLIP, fps=fps, frames=37))
    _, shown_ms = stills_of(tmp_path / "film.gif")
    ends = np.cumsum(shown_ms) / 1000
    assert ends == pytest.approx(np.arange(1, 38) / fps, abs=0.00501)


@pytest.mark.parametrize("suffix", [".gif", ".apng"])
def test_it_repeats_for_ever(made: Maker, suffix: str) -> None:
    with Image.open(made(suffix, False)) as image:
        assert image.info["loop"] == 0


def test_what_stands_still_in_a_gif_does_not_flicker(tmp_path: Path) -> None:
    shade = np.linspace(40, 200, 48).astype(np.uint8)  # more shades than colours are left for

    def shoot(_: object) -> Iterator[NDArray[np.uint8]]:
        rng = np.random.default_rng(3)
        for _k in range(12):
            shot = np.full((64, 96, 4), 255, np.uint8)
            shot[:, :48, :3] = shade[None, :, None]
            shot[:, 48:, :3] = rng.integers(0, 256, (64, 48, 3))
            yield shot

    write_clip(tmp_path / "film.gif", replace(CLIP, frames=12), KEY, shoot)
    frames, _ = stills_of(tmp_path / "film.gif")
    assert all(np.array_equal(a[:, :48], b[:, :48]) for a, b in pairwise(frames))


@pytest.mark.parametrize("transparent", [False, True])
def test_a_folder_has_every_frame_without_loss(made: Maker, transparent: bool) -> None:
    folder = made("", transparent)
    files = sorted(folder.glob("*.png"))
    assert [file.name for file in files] == [f"frame-{k:04d}.png" for k in range(1, 61)]
    for k, file in enumerate(files):
        with Image.open(file) as image:
            due = frame(k, transparent=transparent)
            assert image.mode == ("RGBA" if transparent else "RGB")
            assert np.array_equal(np.array(image), due if transparent else due[..., :3])


def test_a_folder_lists_its_files_and_its_rate(made: Maker) -> None:
    folder = made("", False)
    listed = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    names = {row["name"] for row in listed["files"]} | {MANIFEST}
    assert names == {path.name for path in folder.iterdir()}
    assert (listed["format"], listed["clip"]["fps"]) == (FORMAT, 24)


@pytest.mark.parametrize("suffix", FORMATS)
def test_one_frame_is_a_clip(tmp_path: Path, suffix: str) -> None:
    target = tmp_path / f"film{suffix}"
    write(target, replace(CLIP, frames=1))
    assert target.exists()


@pytest.mark.parametrize("suffix", VIDEOS)
def test_the_last_frame_is_shown_as_long_as_the_others(tmp_path: Path, suffix: str) -> None:
    target = tmp_path / f"film{suffix}"
    write(target, replace(CLIP, frames=1))
    assert [float(end) for _, end in times_s(target)] == pytest.approx([1 / 24], abs=0.001)


@pytest.mark.parametrize("suffix", [".mov", ".gif", ".apng", ""])
def test_odd_sizes_are_kept(tmp_path: Path, suffix: str) -> None:
    target = tmp_path / f"film{suffix}"
    clip = Clip((97, 65), 24, 3, transparent=True)
    shot = np.full((65, 97, 4), 200, np.uint8)
    write_clip(target, clip, KEY, lambda indices: (shot for _ in indices))
    shown = target if suffix else target / "frame-0001.png"
    assert look(shown).size == (97, 65)


# The same bytes


@pytest.mark.parametrize(("suffix", "transparent"), MADE)
def test_a_run_that_broke_goes_on_where_it_was(
    made: Maker, tmp_path: Path, suffix: str, transparent: bool
) -> None:
    clip = replace(CLIP, transparent=transparent)
    target = tmp_path / made(suffix, transparent).name
    with pytest.raises(CameraBroken):
        write(target, clip, fails_after=30)
    camera = write(target, clip)
    first = 24 if suffix in VIDEOS else 30  # whole seconds, or every picture
    assert camera.asked == [list(range(first, 60))]
    assert contents(target) == contents(made(suffix, transparent))


def test_the_same_bytes_elsewhere_after_a_death(made: Maker, tmp_path: Path) -> None:
    """Another process with other hashes, on one core, which dies without a word; then this one."""
    code = (
        "import os, sys\n"
        "from pathlib import Path\n"
        "from pipeline.reel import write_clip\n"
        "from tests.pipeline.film import Camera\n"
        "from tests.pipeline.test_reel import CLIP, KEY\n"
        "if hasattr(os, 'sched_setaffinity'):\n"
        "    os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})\n"
        "camera = Camera(CLIP)\n"
        "def told(done, of):\n"
        "    if done == 55:\n"
        "        os._exit(3)\n"
        "for name in sys.argv[1:]:\n"
        "    write_clip(Path(name), CLIP, KEY, camera)\n"
        "write_clip(Path(sys.argv[1]).with_name('dead.mp4'), CLIP, KEY, camera, told)\n"
    )
    targets = [tmp_path / f"film{suffix}" for suffix in (*VIDEOS, ".gif", ".apng")]
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": "4242"}
    ended = subprocess.run([sys.executable, "-c", code, *map(str, targets)], env=env, check=False)
    assert ended.returncode == 3
    for target in targets:
        assert target.read_bytes() == made(target.suffix, False).read_bytes()
    camera = write(tmp_path / "dead.mp4")
    assert camera.asked == [list(range(48, 60))]
    assert (tmp_path / "dead.mp4").read_bytes() == made(".mp4", False).read_bytes()


def test_frames_may_be_drawn_into_the_same_memory(made: Maker, tmp_path: Path) -> None:
    def shoot(_: object) -> Iterator[NDArray[np.uint8]]:
        canvas = np.empty((64, 96, 4), np.uint8)
        for k in range(60):
            canvas[:] = frame(k, transparent=False)
            yield canvas

    write_clip(tmp_path / "film.mp4", CLIP, KEY, shoot)
    assert (tmp_path / "film.mp4").read_bytes() == made(".mp4", False).read_bytes()


# Interrupted work


def test_a_finished_clip_leaves_nothing_beside_it(tmp_path: Path) -> None:
    write(tmp_path / "film.mp4")
    assert [path.name for path in tmp_path.iterdir()] == ["film.mp4"]


def test_a_broken_run_leaves_no_target_and_no_half_piece(tmp_path: Path) -> None:
    target = tmp_path / "film.mp4"
    with pytest.raises(CameraBroken):
        write(target, fails_after=30)
    assert [path.name for path in tmp_path.iterdir()] == [unfinished(target).name]
    assert {path.name for path in unfinished(target).iterdir()} == {"plan.json", "piece-0001.mp4"}


def test_half_pieces_of_a_killed_run_are_swept_up(tmp_path: Path) -> None:
    target = tmp_path / "film.mp4"
    with pytest.raises(CameraBroken):
        write(target, fails_after=30)
    (unfinished(target) / ".piece-0002.abcd.mp4").write_bytes(b"half")
    with pytest.raises(CameraBroken):
        write(target, fails_after=0)
    assert not list(unfinished(target).glob(".piece-*"))


def test_when_every_piece_is_there_nothing_is_shot(tmp_path: Path) -> None:
    target = tmp_path / "film.mp4"
    target.mkdir()
    with pytest.raises(OutputError):
        write(target)
    target.rmdir()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reel, "join_segments", lambda *_: (_ for _ in ()).throw(CameraBroken))
        with pytest.raises(CameraBroken):
            write(target)
    assert write(target).asked == []


@pytest.mark.parametrize(
    ("clip", "key"),
    [
        (CLIP, {**KEY, "design": "c3d4"}),
        (replace(CLIP, frames=61), KEY),
        (replace(CLIP, fps=25), KEY),
    ],
)
def test_the_beginnings_of_another_clip_are_not_gone_on_with(
    tmp_path: Path, clip: Clip, key: dict[str, str]
) -> None:
    target = tmp_path / "film.mp4"
    with pytest.raises(CameraBroken):
        write(target, fails_after=30)
    camera = Camera(clip)
    with pytest.raises(OutputError, match="beginnings of another clip"):
        write_clip(target, clip, key, camera)
    assert camera.asked == []


def test_a_file_where_the_pieces_would_lie_is_kept(tmp_path: Path) -> None:
    target = tmp_path / "film.mp4"
    unfinished(target).write_text("mine")
    with pytest.raises(OutputError, match="beginnings of another clip"):
        write(target)
    assert unfinished(target).read_text() == "mine"


@pytest.mark.parametrize("suffix", [".mp4", ".webm", ".gif", ".apng"])
def test_a_damaged_piece_is_named(tmp_path: Path, suffix: str) -> None:
    target = tmp_path / f"film{suffix}"
    with pytest.raises(CameraBroken):
        write(target, fails_after=30)
    piece = sorted(unfinished(target).glob("piece-*"))[0]
    piece.write_bytes(piece.read_bytes()[: piece.stat().st_size // 2])
    with pytest.raises(PieceDamaged, match=f"{piece.name} is not as it was written; remove it"):
        write(target)
    assert not target.exists()


def test_a_name_with_a_colon_is_a_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    write(Path("pin: up.mp4"))
    assert [path.name for path in tmp_path.iterdir()] == ["pin: up.mp4"]


def test_what_was_there_stays_until_the_new_one_is_whole(tmp_path: Path) -> None:
    target = tmp_path / "film.mp4"
    target.write_bytes(b"old")
    with pytest.raises(CameraBroken):
        write(target, fails_after=30)
    assert target.read_bytes() == b"old"


def test_the_camera_is_put_away_before_the_error_is_told(tmp_path: Path) -> None:
    camera = Camera(CLIP)

    def told(done: int, _of: int) -> None:
        if done == 30:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt) as caught:
        write_clip(tmp_path / "film.mp4", CLIP, KEY, camera, told)
    assert camera.closed == 1
    del caught  # until now it held on to all that was open


def test_progress_is_told_from_where_it_goes_on(tmp_path: Path) -> None:
    target, heard = tmp_path / "film.mp4", []
    with pytest.raises(CameraBroken):
        write(target, fails_after=30)
    write_clip(target, CLIP, KEY, Camera(CLIP), lambda done, of: heard.append((done, of)))
    assert heard == [(k, 60) for k in range(24, 61)]


# Refusals and mistakes


def test_what_no_format_holds_is_refused_before_anything_is_shot(tmp_path: Path) -> None:
    camera = Camera(replace(CLIP, transparent=True))
    with pytest.raises(ClipRefused):
        write_clip(tmp_path / "film.mp4", camera.clip, KEY, camera)
    assert (camera.asked, list(tmp_path.iterdir())) == ([], [])


@pytest.mark.parametrize("suffix", FORMATS)
def test_a_target_in_no_folder_is_refused_before_anything_is_shot(
    tmp_path: Path, suffix: str
) -> None:
    camera = Camera(CLIP)
    with pytest.raises(OutputError, match="there is no folder"):
        write_clip(tmp_path / "nowhere" / f"film{suffix}", CLIP, KEY, camera)
    assert camera.asked == []


def test_a_folder_that_is_not_ours_is_kept(tmp_path: Path) -> None:
    target = tmp_path / "film"
    target.mkdir()
    (target / "frame-0001.png").write_text("mine")
    camera = Camera(CLIP)
    with pytest.raises(OutputError, match="not ours"):
        write_clip(target, CLIP, KEY, camera)
    assert (camera.asked, contents(target)) == ([], b"frame-0001.pngmine")


def test_a_folder_that_another_command_made_is_kept(tmp_path: Path) -> None:
    target = tmp_path / "film"
    write_clip(target, CLIP, KEY, Camera(CLIP), made_by="one")
    with pytest.raises(OutputError, match="corewright one"):
        write_clip(target, CLIP, KEY, Camera(CLIP), made_by="other")


def test_a_folder_of_ours_is_replaced(tmp_path: Path) -> None:
    target = tmp_path / "film"
    write(target)
    write(target, replace(CLIP, frames=2))
    assert len(list(target.glob("*.png"))) == 2


@pytest.mark.parametrize(
    "wrong",
    [
        np.full((64, 96, 3), 255, np.uint8),
        np.full((96, 64, 4), 255, np.uint8),
        np.full((64, 96, 4), 1.0),
        np.full((64, 96, 4), 254, np.uint8),  # of an opaque clip
    ],
    ids=["three channels", "on its side", "floats", "not opaque"],
)
def test_a_wrong_frame_is_a_mistake(tmp_path: Path, wrong: NDArray[np.uint8]) -> None:
    with pytest.raises(ValueError, match="frame"):
        write_clip(tmp_path / "film.mp4", CLIP, KEY, lambda indices: (wrong for _ in indices))


@pytest.mark.parametrize("count", [59, 61])
def test_fewer_or_more_frames_than_asked_for_are_a_mistake(tmp_path: Path, count: int) -> None:
    target = tmp_path / "film.mp4"
    with pytest.raises(ValueError, match="argument"):
        write_clip(target, CLIP, KEY, lambda _: (frame(k, transparent=False) for k in range(count)))
    assert not target.exists()


def test_an_error_of_the_encoder_reaches_the_caller(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class EncoderBroken(Exception):
        pass

    def broken(*_: object) -> None:
        raise EncoderBroken

    monkeypatch.setattr(reel, "write_segment", broken)
    with pytest.raises(EncoderBroken):
        write(tmp_path / "film.mp4")


# Manners


def test_nothing_is_printed(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    for suffix in FORMATS:
        write(tmp_path / f"film{suffix}")
    assert capfd.readouterr() == ("", "")


def test_importing_loads_no_codecs() -> None:
    code = "import sys, pipeline.reel; sys.exit('av' in sys.modules)"
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    assert subprocess.run([sys.executable, "-c", code], env=env, check=False).returncode == 0


@pytest.mark.parametrize("suffix", [".mp4", ".gif", ""])
def test_memory_does_not_grow_with_the_frames(tmp_path: Path, suffix: str) -> None:
    size = (320, 240)
    shot_bytes = size[0] * size[1] * 4

    def peak_bytes(frames: int) -> int:
        def shoot(_: object) -> Iterator[NDArray[np.uint8]]:
            for k in range(frames):
                yield np.full((size[1], size[0], 4), (k % 200, 90, 30, 255), np.uint8)

        tracemalloc.start()
        target = tmp_path / f"film-{frames}{suffix}"
        write_clip(target, Clip(size, 24, frames, transparent=False), KEY, shoot)
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return peak

    peak_bytes(8)  # what is loaded once
    assert peak_bytes(120) < peak_bytes(24) + 3 * shot_bytes
