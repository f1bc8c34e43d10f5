"""What a storyboard asks for: shots of one ball, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from pipeline.wish import Wish


@dataclass(frozen=True)
class ShotPlan:
    """One shot.

    Attributes:
        stem: of its files, with its number.
        view: what is shown; empty for what suits the move.
        move: how it moves; empty for a still.
        seconds: how long; None for what suits the move.
        ending: of its file, without the dot; 'png' of a clip is a folder.
        look, size, fps: how it looks, px, and frames per second.
        wish: what else is asked of the view.
        beside: files of the other balls.
        transparent, layers, card, labels: see the file's keys.
        caption: the engineer's own words, or nothing.
        line: where it stands in the file.
    """

    stem: str
    view: str
    move: str
    seconds: float | None
    ending: str
    look: str
    size: tuple[int, int]
    fps: int
    wish: Wish
    beside: tuple[str, ...]
    transparent: bool
    layers: bool
    card: bool
    labels: bool
    caption: str
    line: int

    @property
    def file(self) -> str:
        """The name of its file or folder."""
        return self.stem if self.move and self.ending == "png" else f"{self.stem}.{self.ending}"


@dataclass(frozen=True)
class Storyboard:
    """A storyboard, its file's bytes and its folder."""

    design: str
    earlier: str
    shots: tuple[ShotPlan, ...]
    file: str
    source: bytes

    @property
    def folder(self) -> Path:
        """Where the files that it names are."""
        return Path(self.file).parent
