"""How each kind of video is encoded, and how frames become what its encoder takes.

Everything that could make two runs differ is fixed: one thread, no rate control that looks at the
clock, arithmetic that is the same on every processor.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pipeline.clip import Clip

if TYPE_CHECKING:
    from av.filter import Graph
    from av.video.frame import VideoFrame

Frame = NDArray[np.uint8]  # (height, width, 4): red, green, blue, straight alpha

BT709 = 1  # primaries, transfer and matrix have the same number in every container
LIMITED = 1
_LAMBDA = 118  # how finely encoders that take a fixed quantiser are told it


@dataclass(frozen=True)
class Encoder:
    """How a kind of video is encoded.

    Attributes:
        container: of the file.
        codec: the encoder.
        opaque, transparent: the layout of pixels without and with alpha; empty where it has none.
        options: of the encoder.
        finished: of the container, for the file that is handed over.
        tags: of the stream when it is transparent.
    """

    container: str
    codec: str
    opaque: str
    transparent: str
    options: dict[str, str]
    finished: dict[str, str]
    tags: dict[str, str] = field(default_factory=dict)

    def pixels(self, clip: Clip) -> str:
        """The layout of pixels for a clip."""
        return self.transparent if clip.transparent else self.opaque


# Durations in whole frames at every rate that there is; what a player needs first comes first.
_MOVIE = {"movie_timescale": "12000", "movflags": "+faststart"}

ENCODERS = {
    ".mp4": Encoder(
        "mp4",
        "libx264",
        opaque="yuv420p",
        transparent="",
        options={
            "preset": "veryfast",
            "crf": "16",
            "profile": "high",
            "bf": "0",  # frames lie in the order in which they are shown, so that seconds can be
            # joined; stitchable: with headers that do not hang on what is shown.  Blocks of 8 x 8
            # that move by themselves would take a seventh more time for a twentieth fewer bytes.
            "x264-params": "stitchable=1:scenecut=0:cpu-independent=1:partitions=i8x8,i4x4",
        },
        finished=_MOVIE,
    ),
    ".mov": Encoder(
        "mov",
        "prores_ks",
        opaque="yuv444p10le",
        transparent="yuva444p10le",
        options={
            "profile": "4444",
            "alpha_bits": "16",
            # a fixed quantiser: the same quality in every frame, at a fifth of the time
            "global_quality": str(2 * _LAMBDA),
        },
        finished=_MOVIE,
    ),
    ".webm": Encoder(
        "webm",
        "libvpx-vp9",
        opaque="yuv420p",
        transparent="yuva420p",
        options={
            "crf": "18",
            "b": "0",
            "deadline": "realtime",  # a set of tools, not a race: `cpu-used` fixes what it does
            "cpu-used": "5",
            "lag-in-frames": "0",
            "auto-alt-ref": "0",  # hidden frames would be lost to the alpha beside them
            "row-mt": "0",
        },
        finished={"cues_to_front": "1"},
        tags={"alpha_mode": "1"},
    ),
}


class Converter:
    """Turns frames into what an encoder takes: BT.709, limited range, chroma sited left.

    Args:
        size: width and height, px.
        pixels: the layout asked for.
    """

    def __init__(self, size: tuple[int, int], pixels: str) -> None:
        from av.filter import Graph
        from av.video.format import VideoFormat

        self._graph: Graph = Graph()
        self._graph.threads = 1
        width, height = size
        source = self._graph.add_buffer(
            width=width,
            height=height,
            format=VideoFormat("rgba"),
            time_base=Fraction(1, 1000),
        )
        # Without full_chroma_inp every other pixel's colour would be left out.
        scale = self._graph.add(
            "scale",
            f"w={width}:h={height}:in_range=full:out_range=limited:out_color_matrix=bt709"
            ":out_chroma_loc=left:flags=bilinear+full_chroma_inp+accurate_rnd+bitexact",
        )
        layout = self._graph.add("format", pixels)
        tags = self._graph.add(
            "setparams",
            "range=limited:color_primaries=bt709:color_trc=bt709:colorspace=bt709",
        )
        self._graph.link_nodes(source, scale, layout, tags, self._graph.add("buffersink"))
        self._graph.configure()

    def convert(self, frame: Frame) -> VideoFrame:
        """A frame as the encoder takes it; the array is only read."""
        from av.video.frame import VideoFrame

        self._graph.vpush(VideoFrame.from_numpy_buffer(frame, "rgba"))
        return self._graph.vpull()
