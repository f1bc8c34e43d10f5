"""What the trade calls low, medium and high: common practice, read from `bands.toml`."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from importlib.resources import files


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
