"""A clip written from its frames, piece by piece, and what was done is never lost.

While it runs, the pieces that are done lie in a folder beside the target, named after it with
`.unfinished`: seconds of video, or single pictures.  The same call goes on from there and asks only
for the frames that are missing; when all are there the target is made from them.  The same frames
give the same bytes, whether at once or after any number of interruptions.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Generator, Iterator, Sequence
from dataclasses import asdict, dataclass
from importlib.metadata import version
from itertools import chain, islice
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pipeline.alongside import alongside
from pipeline.clip import Clip, Format, check_clip
from pipeline.encoders import ENCODERS, Frame
from pipeline.flipbook import write_apng, write_gif, write_still
from pipeline.folder import check_target, whole_file, whole_folder
from pipeline.listing import list_files
from pipeline.segments import join_segments, segments_of, write_segment
from pipeline.unfinished import begun, end

Shoot = Callable[[Sequence[int]], Iterator[NDArray[np.uint8]]]

_OTHER = (
    "another clip (another design or move, another size, rate or length, or another release of "
    "Corewright or its libraries)"
)
_AHEAD = 2  # frames that wait for the encoder; with the one it holds, all that memory holds
_LEAST_DIGITS = 4


@dataclass(frozen=True)
class Piece:
    """A part of the work that is done or not.

    Attributes:
        file: where it lies when it is done.
        indices: of its frames.
    """

    file: Path
    indices: range


def write_clip(
    target: Path,
    clip: Clip,
    key: dict[str, Any],
    shoot: Shoot,
    told: Callable[[int, int], None] = lambda _a, _b: None,
    made_by: str = "",
) -> None:
    """Write a clip, whole or not at all, and go on with one that was begun.

    Args:
        target: the file, whose ending says the format, or without one the folder of pictures.
        clip: what to write.
        key: what makes two clips the same: plain values, as JSON has them.
        shoot: given the indices of frames, counted from 0, yields them in order as (height, width,
            4) of red, green, blue and straight alpha, each 0 to 255.  It is called once, or not
            at all when no frame is missing.
        told: called with the frames done and those there are.
        made_by: the command, which a folder of pictures is listed as made by.

    Raises:
        ClipRefused: the format cannot hold the clip.
        OutputError: the target cannot be written, or pieces of another clip lie beside it.
        ValueError: `shoot` yields what was not asked for.
        KernelFault: what was written does not read back as the clip.
    """
    form = check_clip(target, clip)
    if form.suffix:
        with whole_file(target) as path:
            files = _shot(target, form, clip, key, shoot, told)
            if form.suffix in ENCODERS:
                join_segments(files, path, ENCODERS[form.suffix], clip)
            else:
                {".gif": write_gif, ".apng": write_apng}[form.suffix](files, path, clip)
    else:
        check_target(target, made_by)
        files = _shot(target, form, clip, key, shoot, told)
        with whole_folder(target, made_by) as work:
            _lay_out(files, work.path, clip, made_by)
    end(target)


def _shot(
    target: Path,
    form: Format,
    clip: Clip,
    key: dict[str, Any],
    shoot: Shoot,
    told: Callable[[int, int], None],
) -> list[Path]:
    """The files of all pieces, in order; those that are missing are made."""
    with begun(target, _said(form, clip, key), _OTHER) as place:
        return _pieces_made(place, form, clip, shoot, told)


def _pieces_made(
    place: Path, form: Format, clip: Clip, shoot: Shoot, told: Callable[[int, int], None]
) -> list[Path]:
    pieces = _pieces(place, form, clip)
    left = [piece for piece in pieces if not piece.file.is_file()]  # named only when it was whole
    done = clip.frames - sum(len(piece.indices) for piece in left)
    told(done, clip.frames)
    if not left:
        return [piece.file for piece in pieces]

    def encode(frames: Iterator[Frame]) -> None:
        for piece in left:
            with whole_file(piece.file) as path:
                _write_piece(path, islice(frames, len(piece.indices)), form, clip)

    indices = list(chain.from_iterable(piece.indices for piece in left))
    frames = shoot(indices)
    try:
        with alongside(encode, _AHEAD) as hand_over:
            for frame, _ in zip(frames, indices, strict=True):
                hand_over(_checked(frame, clip))
                done += 1
                told(done, clip.frames)
    finally:
        if isinstance(frames, Generator):
            frames.close()  # now, so that a renderer is not left open until somebody sweeps up
    return [piece.file for piece in pieces]


def _said(form: Format, clip: Clip, key: dict[str, Any]) -> Any:
    """What makes the pieces of two runs fit together."""
    return {
        "key": key,
        "clip": asdict(clip),
        "written as": form.suffix,
        "written by": {name: version(name) for name in ("av", "pillow")},
    }


def _pieces(place: Path, form: Format, clip: Clip) -> list[Piece]:
    if form.suffix in ENCODERS:
        spans, suffix = segments_of(clip), form.suffix
    else:
        spans, suffix = [range(k, k + 1) for k in range(clip.frames)], ".png"
    digits = _digits(len(spans))
    return [Piece(place / f"piece-{k:0{digits}d}{suffix}", span) for k, span in enumerate(spans, 1)]


def _write_piece(path: Path, frames: Iterator[Frame], form: Format, clip: Clip) -> None:
    if form.suffix in ENCODERS:
        write_segment(path, frames, ENCODERS[form.suffix], clip)
    else:
        write_still(path, next(frames), clip)


def _checked(frame: NDArray[np.uint8], clip: Clip) -> Frame:
    """A copy of a frame, since whoever shoots it may draw the next one into the same memory."""
    width, height = clip.size
    if frame.shape != (height, width, 4) or frame.dtype != np.uint8:
        raise ValueError(
            f"a frame is {frame.shape} of {frame.dtype}, due {(height, width, 4)} of uint8"
        )
    if not clip.transparent and int(frame[..., 3].min()) < 255:
        raise ValueError("a frame of an opaque clip has pixels that are not opaque")
    return np.array(frame, order="C")


def _lay_out(files: Sequence[Path], folder: Path, clip: Clip, made_by: str) -> None:
    """Fill a folder with the pictures and a manifest, by which it is known as ours."""
    digits = _digits(len(files))
    for k, file in enumerate(files, 1):
        _put(file, folder / f"frame-{k:0{digits}d}.png")
    list_files(folder, made_by, {"clip": asdict(clip)})


def _put(file: Path, path: Path) -> None:
    """Give a file a second name; the first one stays until all is done."""
    try:
        os.link(file, path)
    except OSError:  # a disk that knows no second names
        shutil.copyfile(file, path)


def _digits(count: int) -> int:
    return max(_LEAST_DIGITS, len(str(count)))
