"""Clips for tests, and an independent reader: another build of other sources, a process of its own.

Every frame is four fields: one that changes with the frame, so that its number can be told from its
colour, one that stays, one half clear, and one that is not there at all when the clip is
transparent.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import imageio_ffmpeg
import numpy as np
from numpy.typing import NDArray

from pipeline.clip import Clip

SIZE = (96, 64)
STAYS = (178, 60, 38)
CLEAR = (28, 72, 92)
FIELDS = {  # away from their edges, where colour kept for blocks of 2 x 2 px runs over
    "changes": (slice(8, 24), slice(8, 40)),
    "stays": (slice(8, 24), slice(56, 88)),
    "half clear": (slice(40, 56), slice(8, 40)),
    "not there": (slice(40, 56), slice(56, 88)),
}


def colour(k: int) -> tuple[int, int, int]:
    """Of the field that changes; neighbours differ by far more than an encoder takes away."""
    return (40 + 37 * k % 180, 40 + 71 * k % 180, 40 + 113 * k % 180)


def frame(k: int, *, transparent: bool) -> NDArray[np.uint8]:
    made = np.full((64, 96, 4), 255, np.uint8)
    made[:32, :48, :3] = colour(k)
    made[:32, 48:, :3] = STAYS
    made[32:, :, :3] = CLEAR
    if transparent:
        made[32:, :48, 3] = 128
        made[32:, 48:, 3] = 0
    return made


@dataclass
class Camera:
    """Shoots the frames of a clip, and remembers which it was asked for.

    Attributes:
        clip: of the size of `SIZE`.
        fails_after: how many frames it yields before it breaks; None when it does not.
        asked: the indices of each call.
        closed: how many of its calls have come to an end, well or not.
    """

    clip: Clip
    fails_after: int | None = None

    def __post_init__(self) -> None:
        self.asked: list[list[int]] = []
        self.closed = 0

    def __call__(self, indices: Sequence[int]) -> Iterator[NDArray[np.uint8]]:
        self.asked.append(list(indices))
        try:
            for n, k in enumerate(indices):
                if n == self.fails_after:
                    raise CameraBroken
                yield frame(k, transparent=self.clip.transparent)
        finally:
            self.closed += 1


class CameraBroken(Exception):
    """What a camera raises that was told to."""


@dataclass(frozen=True)
class Seen:
    """What the independent reader says of a file.

    Attributes:
        codec, layout: such as 'h264 (High) (avc1 / 0x31637661)' and 'yuv420p(tv, bt709)'.
        size: px.
        fps: as the file says it.
        duration_s: of the whole file.
        text: all that it says.
    """

    codec: str
    layout: str
    size: tuple[int, int]
    fps: float
    duration_s: float
    text: str


def look(path: Path, *options: str) -> Seen:
    text = _run(*options, "-i", str(path), "-c", "copy", "-f", "null", "-").stderr.decode()
    said = re.search(
        r"Stream #0:0.*?: Video: (?P<codec>[^,]+), (?P<layout>\w+(\([^)]*\))?), "
        r"(?P<w>\d+)x(?P<h>\d+).*?(?P<fps>[\d.]+) fps",
        text,
    )
    ends = re.search(r"Duration: (\d+):(\d+):([\d.]+)", text)
    assert said, text
    duration_s = float("nan")
    if ends:
        duration_s = 3600 * int(ends[1]) + 60 * int(ends[2]) + float(ends[3])
    return Seen(
        said["codec"],
        said["layout"],
        (int(said["w"]), int(said["h"])),
        float(said["fps"]),
        duration_s,
        text,
    )


def times_s(path: Path) -> list[tuple[Fraction, Fraction]]:
    """When each packet of a file is shown, and for how long, s."""
    lines = _run("-i", str(path), "-c", "copy", "-f", "framecrc", "-").stdout.decode().splitlines()
    base = Fraction(next(line for line in lines if line.startswith("#tb")).split()[-1])
    rows = [line.split(",") for line in lines if not line.startswith("#")]
    return [(int(row[2]) * base, int(row[3]) * base) for row in rows]


def decode(path: Path, *options: str) -> NDArray[np.uint8]:
    """All frames as (frames, height, width, 4), red, green, blue and alpha."""
    raw = _run(
        *options, "-i", str(path), "-fps_mode", "passthrough", "-f", "rawvideo", "-pix_fmt",
        "rgba", "-",
    ).stdout  # fmt: skip
    width, height = SIZE
    return np.frombuffer(raw, np.uint8).reshape(-1, height, width, 4)


def field(frames: NDArray[np.uint8], name: str) -> NDArray[np.int64]:
    """One field of frames as (frames, height, width, 4)."""
    rows, columns = FIELDS[name]
    return frames[:, rows, columns].astype(np.int64)


def _run(*arguments: str) -> subprocess.CompletedProcess[bytes]:
    program = imageio_ffmpeg.get_ffmpeg_exe()
    found = subprocess.run(
        [program, "-hide_banner", "-nostdin", "-threads", "1", *arguments], capture_output=True
    )
    assert found.returncode == 0, found.stderr.decode()
    return found
