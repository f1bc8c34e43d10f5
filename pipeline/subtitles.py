"""Captions as a WebVTT file (W3C, WebVTT: The Web Video Text Tracks Format)."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.take import Caption


def subtitles(captions: Sequence[Caption], seconds: float) -> str:
    """The text of a WebVTT file.

    Args:
        captions: in order; their times are shares of the clip.
        seconds: how long the clip lasts.

    >>> print(subtitles([Caption(0.0, 0.5, "One & two.")], 7.0))
    WEBVTT
    <BLANKLINE>
    1
    00:00:00.000 --> 00:00:03.500
    One &amp; two.
    <BLANKLINE>
    """
    cues = [
        f"{k}\n{_time(c.start * seconds)} --> {_time(c.end * seconds)}\n{_escaped(c.words)}\n"
        for k, c in enumerate(captions, 1)
    ]
    return "\n".join(["WEBVTT\n", *cues])


def _time(seconds: float) -> str:
    whole = round(1000.0 * seconds)
    hours, rest = divmod(whole, 3_600_000)
    minutes, rest = divmod(rest, 60_000)
    return f"{hours:02d}:{minutes:02d}:{rest // 1000:02d}.{rest % 1000:03d}"


def _escaped(words: str) -> str:
    """One line; its three signs that mean something in the format are spelled out."""
    line = " ".join(words.split())
    return line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
