"""What the trade calls low, medium and high: common practice, read from `bands.toml`."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from importlib.resources import files
from itertools import pairwise


@dataclass(frozen=True)
class Band:
    """One word and the number, in, that it runs up to; infinity for the last."""

    word: str
    up_to_in: float


@dataclass(frozen=True)
class Bands:
    """The bands of one figure, lowest first, and where they come from."""

    bands: tuple[Band, ...]
    source: str

    def word(self, value_in: float) -> str:
        """What the trade calls a figure.

        >>> BANDS["total_differential"].word(0.045)
        'medium'
        """
        return next(band.word for band in self.bands if value_in < band.up_to_in)

    def words(self, printed_in: float) -> str:
        """What the trade calls a figure as it is printed; on the line between two words, both.

        >>> BANDS["total_differential"].words(0.050), BANDS["total_differential"].words(0.043)
        ('medium to high', 'medium')
        """
        for below, above in pairwise(self.bands):
            if abs(printed_in - below.up_to_in) < 1e-9:
                return f"{below.word} to {above.word}"
        return self.word(printed_in)


def _read() -> dict[str, Bands]:
    data = tomllib.loads(files("pipeline").joinpath("bands.toml").read_text("utf-8"))
    return {
        figure: Bands(
            tuple(Band(row[0], row[1] if len(row) > 1 else float("inf")) for row in found["bands"]),
            found["source"],
        )
        for figure, found in data.items()
    }


BANDS = _read()
