"""Charts in our own look: one face, few lines, units on every axis, names on the lines."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from pipeline.bands import BANDS
from pipeline.chart_face import family
from pipeline.limits import limits_on_rg
from pipeline.palette import CLAY, OYSTER, TIDE
from shapes.moments import Array

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

PAPER, INK, FAINT = "#FBF9F4", "#22262A", "#6B6F73"
_DPI = 150
_LEAST_SPAN_IN = 5e-4  # either way: what is flat is shown flat


@dataclass(frozen=True)
class Spot:
    """A ball that is named on a map: RG and total differential, in."""

    low_rg_in: float
    total_in: float
    name: str


@contextmanager
def sheet(width_in: float = 10.0, height_in: float = 6.6) -> Iterator[tuple[Figure, Axes]]:
    """An empty chart in our look; nothing of matplotlib's own state is touched."""
    import matplotlib as mpl
    from matplotlib.figure import Figure

    look: Any = {
        "font.family": [family()],
        "font.size": 11,
        "axes.edgecolor": FAINT,
        "axes.labelcolor": INK,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "text.color": INK,
        "xtick.color": INK,
        "ytick.color": INK,
    }
    with mpl.rc_context(look):
        figure = Figure(figsize=(width_in, height_in), dpi=_DPI, layout="constrained")
        figure.set_facecolor(PAPER)
        axes = figure.add_subplot()
        axes.set_facecolor(PAPER)
        yield figure, axes


def png(figure: Figure) -> bytes:
    """The chart as a PNG; the same chart gives the same bytes."""
    stream = io.BytesIO()
    figure.savefig(stream, format="png", dpi=figure.dpi, metadata={"Software": None})
    return stream.getvalue()


def rg_map(
    low_rg_in: Array,
    total_in: Array,
    title: str,
    weight_g: float | None,
    spots: Sequence[Spot] = (),
) -> bytes:
    """RG against total differential, with the trade's bands and the limits as a frame.

    Args:
        low_rg_in: shape (n,), in.
        total_in: shape (n,), in.
        title: what is shown.
        weight_g: of the balls, which decides the limits that are known; None for several.
        spots: balls to be named.
    """
    with sheet() as (figure, axes):
        span = _spans(low_rg_in, total_in)
        _bands(axes, span)
        if len(low_rg_in) > 3000:
            shown = axes.hexbin(
                low_rg_in, total_in, gridsize=90, extent=(*span[0], *span[1]), mincnt=1,
                bins="log", cmap=_ramp(), linewidths=0.0,
            )  # fmt: skip
            bar = figure.colorbar(shown, ax=axes, shrink=0.6, pad=0.01)
            bar.set_label("balls in a cell")
            bar.outline.set_visible(False)
        elif len(low_rg_in) > len(spots):
            axes.scatter(low_rg_in, total_in, s=14, color=TIDE, alpha=0.7, linewidths=0)
        for spot in _gathered(spots, span):
            axes.plot(spot.low_rg_in, spot.total_in, "D", color=CLAY, markersize=7)
            axes.annotate(
                spot.name, (spot.low_rg_in, spot.total_in), xytext=(9, 6),
                textcoords="offset points", weight="bold",
            )  # fmt: skip
        _limits(axes, weight_g)
        axes.set_xlim(*span[0])
        axes.set_ylim(*span[1])
        axes.set_xlabel("low RG, in")
        axes.set_ylabel("total differential, in")
        axes.set_title(title, loc="left", weight="bold", pad=26)
        return png(figure)


def curve_chart(x: Array, figures: dict[str, Array], label: str, title: str) -> bytes:
    """Figures over one number that varies, one below the other.

    Args:
        x: shape (n,), as it is labelled.
        figures: by their names, each of shape (n,), in.
        label: of x.
        title: what is shown.
    """
    with sheet(9.0, 1.2 + 2.1 * len(figures)) as (figure, axes):
        axes.remove()
        rows = figure.subplots(len(figures), 1, sharex=True, squeeze=False)[:, 0]
        for row, (name, values) in zip(rows, figures.items(), strict=True):
            row.set_facecolor(PAPER)
            row.plot(x, values, color=TIDE, linewidth=2.0)
            row.set_ylabel(f"{name}, in")
            row.ticklabel_format(axis="y", useOffset=False)
            if np.isfinite(values).any():
                middle = (np.nanmin(values) + np.nanmax(values)) / 2.0
                half = max(0.55 * (np.nanmax(values) - np.nanmin(values)), _LEAST_SPAN_IN)
                row.set_ylim(middle - half, middle + half)
        rows[-1].set_xlabel(label)
        figure.suptitle(title, x=0.01, ha="left", weight="bold")
        return png(figure)


def line_chart(weights_lb: Array, figures: dict[str, tuple[Array, Array]], title: str) -> bytes:
    """Figures across ball weights, each with its window where it has one.

    Args:
        weights_lb: shape (n,).
        figures: by name and unit the values, shape (n,), and the ends of the window, shape (2,),
            NaN where an end is open.
        title: what is shown.
    """
    with sheet(9.0, 1.2 + 2.3 * len(figures)) as (figure, axes):
        axes.remove()
        rows = figure.subplots(len(figures), 1, sharex=True, squeeze=False)[:, 0]
        for row, (name, (values, window)) in zip(rows, figures.items(), strict=True):
            row.set_facecolor(PAPER)
            low, high = window
            if np.isfinite(window).all():
                row.axhspan(low, high, color=OYSTER, alpha=0.55, linewidth=0)
                row.text(1.005, (low + high) / 2.0, "window", color=FAINT, fontsize=9,
                         va="center", transform=row.get_yaxis_transform())  # fmt: skip
            for end in window[np.isfinite(window)]:
                row.axhline(end, color=FAINT, linewidth=0.8)
            row.plot(weights_lb, values, "-D", color=TIDE, linewidth=1.6, markersize=6)
            row.set_ylabel(name)
            row.ticklabel_format(axis="y", useOffset=False)
            shown = np.concatenate([values, window])
            shown = shown[np.isfinite(shown)]
            if len(shown):
                middle = (shown.min() + shown.max()) / 2.0
                half = max(0.62 * (shown.max() - shown.min()), _LEAST_SPAN_IN)
                row.set_ylim(middle - half, middle + half)
        rows[-1].set_xlabel("ball weight, lb")
        rows[-1].set_xticks(weights_lb)
        figure.suptitle(title, x=0.01, ha="left", weight="bold")
        return png(figure)


def _gathered(
    spots: Sequence[Spot], span: tuple[tuple[float, float], tuple[float, float]]
) -> list[Spot]:
    """Balls that would be drawn over one another as one, with all their names."""
    wide, tall = (high - low for low, high in span)
    found: list[Spot] = []
    for spot in spots:
        for k, other in enumerate(found):
            near = abs(spot.low_rg_in - other.low_rg_in) < 0.01 * wide
            if near and abs(spot.total_in - other.total_in) < 0.02 * tall:
                found[k] = Spot(other.low_rg_in, other.total_in, f"{other.name}, {spot.name}")
                break
        else:
            found.append(spot)
    return found


def _spans(low: Array, total: Array) -> tuple[tuple[float, float], tuple[float, float]]:
    """What the map shows: all balls, and the limits where they are near."""
    good = np.isfinite(low) & np.isfinite(total)
    if not good.any():
        return (2.44, 2.82), (0.0, 0.065)
    left, right = float(low[good].min()), float(low[good].max())
    least, most = float(total[good].min()), float(total[good].max())
    wide, tall = max(right - left, 0.02), max(most - least, 0.01)
    return (left - 0.12 * wide, right + 0.12 * wide), (
        max(0.0, least - 0.12 * tall),
        most + 0.15 * tall,
    )


def _bands(axes: Axes, span: tuple[tuple[float, float], tuple[float, float]]) -> None:
    """The trade's words along both axes, with faint lines between them."""
    (left, right), (low, high) = span
    start = left
    for band in BANDS["low_rg"].bands:
        end = min(band.up_to_in, right)
        if end > start:
            axes.text((start + end) / 2.0, 1.005, f"{band.word} RG", ha="center", va="bottom",
                      transform=axes.get_xaxis_transform(), color=FAINT, fontsize=9)  # fmt: skip
            if end < right:
                axes.axvline(end, color=FAINT, linewidth=0.7, linestyle=(0, (1, 3)))
            start = end
    start = low
    for band in BANDS["total_differential"].bands:
        end = min(band.up_to_in, high)
        if end > start:
            axes.text(1.005, (start + end) / 2.0, band.word, ha="left", va="center", rotation=270,
                      transform=axes.get_yaxis_transform(), color=FAINT, fontsize=9)  # fmt: skip
            if end < high:
                axes.axhline(end, color=FAINT, linewidth=0.7, linestyle=(0, (1, 3)))
            start = end


def _limits(axes: Axes, weight_g: float | None) -> None:
    for limit in limits_on_rg(weight_g):
        if limit.figure == "low_rg_in" and limit.least is not None:
            axes.axvline(limit.least, color=CLAY, linewidth=1.4)
            axes.text(limit.least, 0.01, f" limit {limit.least:.2f} in", color=CLAY, fontsize=9,
                      transform=axes.get_xaxis_transform(), clip_on=True)  # fmt: skip
        if limit.figure == "total_differential_in" and limit.most is not None:
            axes.axhline(limit.most, color=CLAY, linewidth=1.4)
            axes.text(0.005, limit.most, f"limit {limit.most:.3f} in", color=CLAY, fontsize=9,
                      va="bottom", transform=axes.get_yaxis_transform(), clip_on=True)  # fmt: skip
        if limit.figure == "high_rg_in" and limit.most is not None:
            # high RG is low RG and differential together: a slanting edge
            axes.axline((limit.most, 0.0), slope=-1.0, color=CLAY, linewidth=1.4)


def _ramp() -> Any:
    from matplotlib.colors import LinearSegmentedColormap

    return LinearSegmentedColormap.from_list("shore", ["#C9D9DC", "#5E8C99", TIDE, "#0E2731"])
