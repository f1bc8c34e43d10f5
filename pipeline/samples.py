"""Where in a design space to weigh: points by their number, the same whoever asks for them."""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.errors import CorewrightError
from pipeline.wanted import Varied
from shapes.moments import Array

MOST_ROWS = 2**30
MOST_FRAMES = 100_000


class SampleError(CorewrightError):
    """There is no such set of points."""


@dataclass(frozen=True)
class Grid:
    """Even steps from end to end of every number, the last one running fastest.

    Attributes:
        steps: how many values of each number; at least two.
    """

    steps: tuple[int, ...]

    @property
    def count(self) -> int:
        """How many points."""
        return int(np.prod([float(s) for s in self.steps]))

    def shares(self, first: int, last: int) -> Array:
        """Points first to last - 1 as shares of the way from low to high, shape (n, k)."""
        index = np.unravel_index(np.arange(first, last), self.steps)
        return np.column_stack([i / (s - 1.0) for i, s in zip(index, self.steps, strict=True)])


@dataclass(frozen=True)
class Scatter:
    """Points that fill the space evenly: Sobol's sequence, scrambled (Owen; by SciPy).

    Attributes:
        count: how many.
        numbers: how many numbers vary.
        seed: of the scrambling.
    """

    count: int
    numbers: int
    seed: int = 1

    def shares(self, first: int, last: int) -> Array:
        """As `Grid.shares`."""
        from scipy.stats import qmc

        engine = qmc.Sobol(self.numbers, scramble=True, rng=np.random.default_rng(self.seed))
        if first:
            engine.fast_forward(first)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # that a count is no power of two matters little
            return np.asarray(engine.random(last - first))


@dataclass(frozen=True)
class Line:
    """Even steps along the straight way on which all numbers go from low to high together.

    Attributes:
        count: how many; at least two.
        numbers: how many numbers vary.
    """

    count: int
    numbers: int

    def shares(self, first: int, last: int) -> Array:
        """As `Grid.shares`."""
        share = np.arange(first, last) / (self.count - 1.0)
        return np.repeat(share[:, None], self.numbers, axis=1)


Samples = Grid | Scatter | Line


def samples_of(
    varied: Sequence[Varied], count: int = 0, steps: str = "", frames: int = 0, seed: int = 1
) -> Samples:
    """The points that a command asks for.

    Args:
        varied: the numbers that vary.
        count: how many scattered points; zero for a grid.
        steps: of a grid, such as '40' or '40x30'.
        frames: of a morph, from all lows to all highs.
        seed: of the scattering.

    Raises:
        SampleError: they cannot be had.
    """
    if not varied:
        raise SampleError("the design says of no number that it may vary; write a vary section")
    if [bool(count), bool(steps), bool(frames)].count(True) != 1:
        raise SampleError("say one of: how many samples, the steps of a grid, how many frames")
    if seed < 0:
        raise SampleError(f"a seed of {seed}; at least 0")
    if frames:
        if not 2 <= frames <= MOST_FRAMES:
            raise SampleError(f"{frames} frames; at least 2 and at most {MOST_FRAMES}")
        return Line(frames, len(varied))
    if count:
        if not 1 <= count <= MOST_ROWS:
            raise SampleError(f"{count} samples; at least 1 and at most {MOST_ROWS}")
        return Scatter(count, len(varied), seed)
    try:
        numbers = tuple(int(word) for word in steps.lower().split("x"))
    except ValueError:
        raise SampleError(f"'{steps}' are no steps of a grid, such as 40 or 40x30") from None
    if len(numbers) == 1:
        numbers = numbers * len(varied)
    if len(numbers) != len(varied) or min(numbers) < 2:
        raise SampleError(
            f"a grid of {steps} steps, where {len(varied)} numbers vary; give one count for all, "
            "or one for each, at least 2"
        )
    grid = Grid(numbers)
    if grid.count > MOST_ROWS:
        raise SampleError(f"a grid of {grid.count} points; at most {MOST_ROWS}")
    return grid


def values_of(varied: Sequence[Varied], samples: Samples, first: int, last: int) -> Array:
    """Points as values, shape (n, k), inner units."""
    low = np.array([v.low for v in varied])
    high = np.array([v.high for v in varied])
    return np.asarray(low + (high - low) * samples.shares(first, last))
