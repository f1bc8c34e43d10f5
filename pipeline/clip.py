"""What a moving picture may be: the formats there are, and what each of them can hold.

The name of the target says the format.  Nothing that does not fit one is made to fit: an odd width
is not cropped, a rate is not rounded, transparency is not dropped.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from pipeline.errors import OutputError

RATES_FPS = (24, 25, 30, 60)
_LEAST_PX = 16  # a block of the codecs
_MOST_PX = 8192
_MOST_SMALL_PX = 1280  # beyond it, files that viewers load as a whole grow past any use


class ClipRefused(OutputError):
    """No such clip can be written; says what was read, what is allowed, and what to do."""


class PieceDamaged(OutputError):
    """A piece of unfinished work is not as it was written.

    Args:
        file: the piece.
    """

    def __init__(self, file: Path) -> None:
        super().__init__(
            f"{file} is not as it was written; remove it, and the same command makes it anew"
        )


@dataclass(frozen=True)
class Clip:
    """A moving picture.

    Attributes:
        size: width and height, px.
        fps: frames per second.
        frames: how many there are.
        transparent: whether their alpha is kept; if not, every pixel is opaque.
    """

    size: tuple[int, int]
    fps: int
    frames: int
    transparent: bool

    @property
    def duration_s(self) -> float:
        """How long it runs, s."""
        return self.frames / self.fps


@dataclass(frozen=True)
class Format:
    """What a moving picture can be written as.

    Attributes:
        suffix: by which the target asks for it; empty for a folder of pictures.
        name: in words.
        transparent: whether it carries transparency.
        even: whether width and height must be even, since colour is kept for blocks of 2 x 2 px.
        rates_fps: the rates that it keeps.
        most_px: the most that width and height may each be.
    """

    suffix: str
    name: str
    transparent: bool = True
    even: bool = False
    rates_fps: tuple[int, ...] = RATES_FPS
    most_px: int = _MOST_PX


FORMATS = {
    each.suffix: each
    for each in (
        Format(".mp4", "H.264 video, which plays anywhere", transparent=False, even=True),
        Format(".mov", "ProRes 4444 video, to edit further"),
        Format(".webm", "VP9 video, for web pages", even=True),
        # Its delays are whole 1/100 s.  At 25 fps each is 4; at 24 and 30 fps they vary by one so
        # that every frame appears within 1/200 s of its time.  At 60 fps some would be 1, which
        # viewers take for 10.
        Format(
            ".gif",
            "GIF, 256 colours, each pixel clear or not",
            rates_fps=(24, 25, 30),
            most_px=_MOST_SMALL_PX,
        ),
        Format(".apng", "animated PNG, without loss", most_px=_MOST_SMALL_PX),
        Format("", "a folder of PNG files"),
    )
}


def format_of(target: Path) -> Format:
    """The format that a target's name asks for.

    Raises:
        ClipRefused: its suffix is of no format.

    >>> format_of(Path("film.mp4")).name
    'H.264 video, which plays anywhere'
    >>> format_of(Path("film")).name
    'a folder of PNG files'
    """
    try:
        return FORMATS[target.suffix.lower()]
    except KeyError:
        raise ClipRefused(
            f"{target}: nothing is written as '{target.suffix}'; give a name that ends in "
            f"{_list([each for each in FORMATS if each], 'or')}, or one without an ending for a "
            "folder of PNG files"
        ) from None


def check_clip(target: Path, clip: Clip) -> Format:
    """The format that a target's name asks for, if it can hold the clip.

    Raises:
        ClipRefused: it cannot, or there is no such format; every reason has a line.
    """
    found = format_of(target)
    reasons = [
        *_size_refused(found, clip.size),
        *_rate_refused(found, clip.fps),
        *_transparency_refused(found, clip),
    ]
    if clip.frames < 1:
        reasons.append(f"a clip of {clip.frames} frames cannot be; it has one at least")
    if reasons:
        raise ClipRefused("\n".join(f"{target}: {reason}" for reason in reasons))
    return found


def _size_refused(found: Format, size: tuple[int, int]) -> list[str]:
    read = f"{size[0]} x {size[1]} px"
    reasons = []
    if min(size) < _LEAST_PX:
        reasons.append(f"{read} is too small; width and height are at least {_LEAST_PX} px")
    if max(size) > found.most_px and found.most_px < _MOST_PX:
        larger = [e.suffix for e in FORMATS.values() if e.suffix and e.most_px > found.most_px]
        reasons.append(
            f"{read} is too large for {found.suffix}, which viewers load as a whole; width and "
            f"height are at most {found.most_px} px: ask for less, or for {_list(larger, 'or')}"
        )
    elif max(size) > found.most_px:
        reasons.append(f"{read} is too large; width and height are at most {found.most_px} px")
    if found.even:
        for side, px in zip(("width", "height"), size, strict=True):
            if px % 2:
                reasons.append(
                    f"{read} cannot be kept, since {found.suffix} keeps colour for blocks of 2 x 2 "
                    f"px; give a {side} of {px - 1} or {px + 1} px"
                )
    return reasons


def _rate_refused(found: Format, fps: int) -> list[str]:
    if fps in found.rates_fps:
        return []
    rates = _list([str(each) for each in found.rates_fps], "or")
    if fps in RATES_FPS:
        others = [e.suffix for e in FORMATS.values() if e.suffix and fps in e.rates_fps]
        return [
            f"{fps} frames per second cannot be kept, since viewers slow such a {found.suffix} "
            f"down; give {rates}, or ask for {_list(others, 'or')}"
        ]
    return [f"{fps} frames per second cannot be had; give {rates}"]


def _transparency_refused(found: Format, clip: Clip) -> list[str]:
    if found.transparent or not clip.transparent:
        return []
    others = [each.suffix for each in FORMATS.values() if each.suffix and each.transparent]
    return [
        f"{found.suffix} carries no transparency; {_list(others, 'and')} do, and a folder of PNG "
        "files (a name without an ending)"
    ]


def _list(words: list[str], last: str) -> str:
    return f"{', '.join(words[:-1])} {last} {words[-1]}" if len(words) > 1 else words[0]
