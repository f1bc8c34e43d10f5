"""Videos in pieces: seconds that are encoded each for itself, and joined without encoding anew."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Final, cast

from pipeline.clip import Clip, PieceDamaged
from pipeline.encoders import BT709, LIMITED, Converter, Encoder, Frame
from pipeline.errors import KernelFault

if TYPE_CHECKING:
    from av.container import OutputContainer
    from av.packet import Packet
    from av.video.stream import VideoStream

_PLAIN = {"fflags": "+bitexact"}  # no date, no random numbers, no name of who wrote it
_ALPHA: Final = "matroska_block_additional"  # where a frame's alpha lies beside its colours


def segments_of(clip: Clip) -> list[range]:
    """The frames of each segment: a second of them, the last one what is left.

    >>> segments_of(Clip((640, 360), fps=24, frames=50, transparent=False))
    [range(0, 24), range(24, 48), range(48, 50)]
    """
    firsts = range(0, clip.frames, clip.fps)
    return [range(first, min(first + clip.fps, clip.frames)) for first in firsts]


def write_segment(path: Path, frames: Iterator[Frame], encoder: Encoder, clip: Clip) -> None:
    """Encode frames to a file of their own, which can be shown without any other.

    Args:
        path: to write.
        frames: (height, width, 4), red, green, blue and straight alpha.
        encoder: how.
        clip: of which they are a part.
    """
    import av

    converter = Converter(clip.size, encoder.pixels(clip))
    with av.open(path, "w", format=encoder.container, options=_PLAIN) as out:
        stream = _new_stream(out, encoder, clip)
        for k, frame in enumerate(frames):
            picture = converter.convert(frame)
            picture.pts, picture.time_base = k, Fraction(1, clip.fps)
            out.mux(stream.encode(picture))
        out.mux(stream.encode(None))


def join_segments(files: Sequence[Path], path: Path, encoder: Encoder, clip: Clip) -> None:
    """Put segments one after the other into the file that is handed over.

    Args:
        files: one for each of `segments_of`, in order.
        path: to write.
        encoder: that they were written with.
        clip: what they are together.

    Raises:
        PieceDamaged: a segment is not as it was written.
        KernelFault: what was written does not read back as the clip.
    """
    import av

    with av.open(path, "w", format=encoder.container, options=_PLAIN | encoder.finished) as out:
        stream: VideoStream | None = None
        headers: bytes | None = None
        for file, indices in zip(files, segments_of(clip), strict=True):
            left = iter(indices)
            for source, packet in _packets(file):
                if stream is None:
                    stream = _same_stream(out, source, encoder, clip)
                    headers = source.codec_context.extradata
                k = next(left, None)
                if k is None or source.codec_context.extradata != headers:
                    raise PieceDamaged(file)
                packet.stream = stream
                packet.time_base, packet.duration = Fraction(1, clip.fps), 1
                packet.pts = packet.dts = k
                out.mux(packet)
            if next(left, None) is not None:
                raise PieceDamaged(file)
    _check(path, encoder, clip)


def _new_stream(out: OutputContainer, encoder: Encoder, clip: Clip) -> VideoStream:
    width, height = clip.size
    made = out.add_stream(
        encoder.codec,
        rate=clip.fps,
        options={**encoder.options, "g": str(clip.fps)},
        width=width,
        height=height,
        time_base=Fraction(1, clip.fps),
    )
    stream = cast("VideoStream", made)
    stream.pix_fmt = encoder.pixels(clip)
    context = stream.codec_context
    context.thread_count = 1  # several would cut a picture, or look ahead, by how many they are
    context.color_range = LIMITED
    context.colorspace = context.color_primaries = context.color_trc = BT709
    _tag(stream, encoder, clip)
    return stream


def _same_stream(
    out: OutputContainer, source: VideoStream, encoder: Encoder, clip: Clip
) -> VideoStream:
    """A stream that takes the packets of another one as they are."""
    stream = out.add_stream_from_template(source)
    stream.time_base = Fraction(1, clip.fps)
    # What a template leaves out: the rate, without which a reader has to guess it, and the tag,
    # without which the container names another profile.
    stream.codec_context.framerate = Fraction(clip.fps)
    stream.codec_context.codec_tag = source.codec_context.codec_tag
    _tag(stream, encoder, clip)
    return stream


def _tag(stream: VideoStream, encoder: Encoder, clip: Clip) -> None:
    if clip.transparent:
        stream.metadata.update(encoder.tags)


def _packets(file: Path) -> Iterator[tuple[VideoStream, Packet[VideoStream]]]:
    import av

    try:
        with av.open(file.absolute()) as piece:  # 'a:b' would be taken for a protocol
            source = piece.streams.video[0]
            for packet in piece.demux(source):
                if packet.size:  # an empty one says that there are no more
                    yield source, packet
    except (av.FFmpegError, IndexError) as error:
        raise PieceDamaged(file) from error


def _check(path: Path, encoder: Encoder, clip: Clip) -> None:
    """Hold what was written against what was asked for."""
    found = 0
    for stream, packet in _packets(path):
        found += 1
        if (stream.width, stream.height) != clip.size or stream.average_rate != clip.fps:
            raise KernelFault(
                f"a clip reads back as {stream.width} x {stream.height} px at "
                f"{stream.average_rate} frames per second, due {clip}"
            )
        if clip.transparent and encoder.tags and not packet.has_sidedata(_ALPHA):
            raise KernelFault(f"frame {found} of a clip reads back without its alpha")
    if found != clip.frames:
        raise KernelFault(f"a clip reads back with {found} frames, due {clip.frames}")
