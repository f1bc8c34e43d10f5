"""Moving pictures made of whole stills: GIF, animated PNG, and folders of PNG files."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from pipeline.clip import Clip, PieceDamaged
from pipeline.encoders import Frame
from pipeline.errors import KernelFault

if TYPE_CHECKING:
    from av.filter import FilterContext, Graph
    from av.video.frame import VideoFrame

_RUNS = 3  # zlib looks for runs only: half the time, and no larger for rendered pictures
_OPAQUE_FROM = 128  # alpha below this is a hole in a GIF, which knows nothing in between
_CS = Fraction(1, 100)  # s; what a GIF counts its time in


def write_still(path: Path, frame: Frame, clip: Clip) -> None:
    """Write a frame as a PNG, without alpha unless the clip is transparent."""
    pixels = frame if clip.transparent else np.ascontiguousarray(frame[..., :3])
    Image.fromarray(pixels).save(path, "PNG", compress_level=1, compress_type=_RUNS)


def read_still(path: Path) -> Frame:
    """A still as (height, width, 4), red, green, blue and alpha.

    Raises:
        PieceDamaged: it is not as it was written.
    """
    try:
        with Image.open(path) as image:
            return np.array(image.convert("RGBA"))
    except (OSError, SyntaxError) as error:  # as Pillow tells a broken PNG
        raise PieceDamaged(path) from error


def starts_cs(clip: Clip) -> list[int]:
    """When each frame of a GIF appears, and last when the whole ends, 1/100 s.

    Each lies within 1/200 s of its time, so that the delays differ but the clip keeps its length.

    >>> starts_cs(Clip((640, 360), fps=24, frames=6, transparent=False))
    [0, 4, 8, 13, 17, 21, 25]
    """
    return [(200 * k + clip.fps) // (2 * clip.fps) for k in range(clip.frames + 1)]


def write_gif(stills: Sequence[Path], path: Path, clip: Clip) -> None:
    """Write stills as a GIF that repeats for ever.

    One palette serves all frames, and what lies between two of its colours is a pattern that
    stays where it is; so a colour that stands still does not flicker.

    Raises:
        PieceDamaged: a still is not as it was written.
        KernelFault: what was written does not read back as the clip.
    """
    import av

    palette = _palette(stills, clip)
    starts = starts_cs(clip)
    options = {"loop": "0", "fflags": "+bitexact"}
    with av.open(path, "w", format="gif", options=options) as out:
        width, height = clip.size
        stream = out.add_stream("gif", rate=clip.fps, width=width, height=height, time_base=_CS)
        stream.pix_fmt = "pal8"
        for k, picture in enumerate(_painted(stills, palette, clip)):
            picture.pts, picture.time_base = starts[k], _CS
            for packet in stream.encode(picture):
                packet.duration = starts[k + 1] - starts[k]
                out.mux(packet)
        out.mux(stream.encode(None))
    _check(path, clip)


def write_apng(stills: Sequence[Path], path: Path, clip: Clip) -> None:
    """Write stills as an animated PNG that repeats for ever, without loss.

    Raises:
        PieceDamaged: a still is not as it was written.
        KernelFault: what was written does not read back as the clip.
    """
    import av
    from av.video.frame import VideoFrame

    beat = Fraction(1, clip.fps)
    options = {"plays": "0", "final_delay": str(beat), "fflags": "+bitexact"}
    with av.open(path, "w", format="apng", options=options) as out:
        width, height = clip.size
        stream = out.add_stream(
            "apng",
            rate=clip.fps,
            options={"pred": "paeth", "compression_level": "4"},
            width=width,
            height=height,
            time_base=beat,
        )
        stream.pix_fmt = "rgba" if clip.transparent else "rgb24"
        stream.codec_context.thread_count = 1
        for k, still in enumerate(stills):
            pixels = read_still(still)
            shown = pixels if clip.transparent else np.ascontiguousarray(pixels[..., :3])
            picture = VideoFrame.from_ndarray(shown, stream.pix_fmt)
            picture.pts, picture.time_base = k, beat
            out.mux(stream.encode(picture))
        out.mux(stream.encode(None))
    _check(path, clip)


def _check(path: Path, clip: Clip) -> None:
    """Hold what was written against what was asked for."""
    with Image.open(path) as image:
        found = (image.size, getattr(image, "n_frames", 1))
    if found != (clip.size, clip.frames):
        raise KernelFault(f"a clip reads back as {found} of px and frames, due {clip}")


def _palette(stills: Sequence[Path], clip: Clip) -> VideoFrame:
    """The colours that serve all stills best."""
    from av.filter import Graph

    graph = Graph()
    graph.threads = 1
    hole = int(clip.transparent)
    graph.link_nodes(
        _add_source(graph, clip.size),
        graph.add("palettegen", f"max_colors=256:reserve_transparent={hole}:stats_mode=full"),
        graph.add("buffersink"),
    ).configure()
    for k, still in enumerate(stills):
        graph.vpush(_picture(still, k))
        for _ in _pulled(graph):  # the palette comes last; a graph that nobody pulls hoards frames
            pass
    graph.vpush(None)
    return graph.vpull()


def _painted(stills: Sequence[Path], palette: VideoFrame, clip: Clip) -> Iterator[VideoFrame]:
    """The stills in the colours of a palette."""
    from av.filter import Graph

    graph = Graph()
    graph.threads = 1
    pictures = _add_source(graph, clip.size)
    colours = _add_source(graph, (palette.width, palette.height))
    painter = graph.add("paletteuse", f"dither=bayer:bayer_scale=5:alpha_threshold={_OPAQUE_FROM}")
    pictures.link_to(painter, 0, 0)
    colours.link_to(painter, 0, 1)
    painter.link_to(graph.add("buffersink"))
    graph.configure()
    palette.pts, palette.time_base = 0, _CS
    graph.vpush(palette, at=1)
    graph.vpush(None, at=1)
    for k, still in enumerate(stills):
        graph.vpush(_picture(still, k), at=0)
        yield from _pulled(graph)
    graph.vpush(None, at=0)
    yield from _pulled(graph)


def _pulled(graph: Graph) -> Iterator[VideoFrame]:
    """What is ready to be taken out."""
    with suppress(BlockingIOError, EOFError):  # nothing more yet, or at all
        while True:
            yield graph.vpull()


def _add_source(graph: Graph, size: tuple[int, int]) -> FilterContext:
    from av.video.format import VideoFormat

    width, height = size
    return graph.add_buffer(width=width, height=height, format=VideoFormat("rgba"), time_base=_CS)


def _picture(still: Path, k: int) -> VideoFrame:
    from av.video.frame import VideoFrame

    picture = VideoFrame.from_numpy_buffer(read_still(still), "rgba")
    picture.pts, picture.time_base = k, _CS
    return picture
