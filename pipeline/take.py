"""A move prepared for one ball: the scene at every moment of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pipeline.ball import Ball
from pipeline.scene import Scene
from pipeline.weigh import MassProperties
from pipeline.wish import Wish


@dataclass(frozen=True)
class Caption:
    """A sentence and when it is shown, as shares of the clip from 0 to 1."""

    start: float
    end: float
    words: str


@dataclass(frozen=True, eq=False)
class Asked:
    """What is to be filmed.

    Attributes:
        ball: the ball.
        properties: its figures.
        view: what is filmed of it.
        wish: what else is asked.
    """

    ball: Ball
    properties: MassProperties
    view: str
    wish: Wish


@dataclass(frozen=True, eq=False)
class Take:
    """What a clip shows.

    Attributes:
        at: the scene at a share of the clip, 0 to 1.
        loops: whether the end is the beginning, so that the last frame is left out.
        captions: what is said meanwhile.
        samples: shares whose scenes hold all that the frame must have room for.
        poster: the share whose scene stands for the clip where only one can be shown.
    """

    at: Callable[[float], Scene]
    loops: bool
    captions: tuple[Caption, ...]
    samples: tuple[float, ...] = (0.0, 0.13, 0.25, 0.38, 0.5, 0.63, 0.75, 0.88)
    poster: float = 0.06

    def shares(self, frames: int) -> list[float]:
        """When each of so many frames is taken."""
        last = frames if self.loops else max(1, frames - 1)
        return [k / last for k in range(frames)]


def eased(share: float) -> float:
    """A share of a way that starts and ends softly: 6 s^5 - 15 s^4 + 10 s^3.

    >>> eased(0.0), eased(0.5), eased(1.0)
    (0.0, 0.5, 1.0)
    """
    s = min(1.0, max(0.0, share))
    return s * s * s * (s * (6.0 * s - 15.0) + 10.0)


def there_and_back(share: float, rest: float = 0.12) -> float:
    """How far out, 0 to 1, when one goes out, rests, comes back and rests: a loop.

    >>> [there_and_back(s) for s in (0.0, 0.5, 1.0)]
    [0.0, 1.0, 0.0]
    """
    half = 0.5 - rest
    if share < 0.5:
        return eased((share - rest / 2.0) / half)
    return eased((1.0 - share - rest / 2.0) / half)
