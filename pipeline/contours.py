"""Charts of lines of equal value over two numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pipeline.charts import PAPER, png, sheet
from pipeline.palette import CLAY, HIGH_AXIS, LOW_AXIS, OYSTER
from shapes.moments import Array

_LEAST_LABELS = 3  # on one column; with fewer the chart library places them


@dataclass(frozen=True, eq=False)
class Layer:
    """Lines of equal value over two numbers that vary.

    Attributes:
        values: shape (n, m); NaN where there is no ball.
        name: what they are, with the unit.
        form: how a value is written on its line, such as '%.3f'.
        colour: '#RRGGBB'.
        style: of the lines.
        place: where along x the values stand on the lines, as a share of the way.
    """

    values: Array
    name: str
    form: str
    colour: str
    style: str
    place: float


def contour_map(
    x: Array, y: Array, low_rg_in: Array, total_in: Array, labels: tuple[str, str], title: str
) -> bytes:
    """Lines of equal RG and of equal differential over two numbers that vary.

    Args:
        x: shape (n,), as it is labelled.
        y: shape (m,), as it is labelled.
        low_rg_in: shape (n, m), in; NaN where there is no ball.
        total_in: the same.
        labels: of x and y.
        title: what is shown.
    """
    layers = (
        Layer(low_rg_in, "low RG, in", "%.3f", LOW_AXIS, "solid", 0.3),
        Layer(total_in, "total differential, in", "%.4f", HIGH_AXIS, "dashed", 0.7),
    )
    return contours(x, y, layers, labels, title, "no such ball")


def contours(
    x: Array,
    y: Array,
    layers: Sequence[Layer],
    labels: tuple[str, str],
    title: str,
    gone_name: str,
    spot: tuple[float, float, str] | None = None,
) -> bytes:
    """Lines of equal value over two numbers, and a patch where there is no value.

    Args:
        x: shape (n,), as it is labelled.
        y: shape (m,), as it is labelled.
        layers: what is drawn over one another.
        labels: of x and y.
        title: what is shown.
        gone_name: what the patch without values is called.
        spot: a place that is named: x, y and its name.
    """
    with sheet() as (figure, axes):
        gone = np.where(np.isfinite(layers[0].values), np.nan, 1.0)
        if np.isfinite(gone).any():
            axes.pcolormesh(x, y, gone.T, cmap=_flat(OYSTER), shading="nearest")
        for layer in layers:
            values = layer.values
            if np.isfinite(values).sum() < 4 or np.nanmax(values) - np.nanmin(values) < 1e-6:
                continue
            lines = axes.contour(
                x, y, np.ma.masked_invalid(values).T, levels=9, colors=layer.colour,
                linestyles=layer.style, linewidths=1.3,
            )  # fmt: skip
            if any(np.size(path.vertices) for path in lines.get_paths()):
                places = _label_places(x, y, values, np.asarray(lines.levels), layer.place)
                axes.clabel(lines, fmt=layer.form, fontsize=9, manual=places or False)
            axes.plot([], [], color=layer.colour, linestyle=layer.style, label=layer.name)
        if np.isfinite(gone).any():
            axes.plot([], [], "s", color=OYSTER, markersize=10, label=gone_name)
        if spot is not None:
            axes.plot(spot[0], spot[1], "D", color=CLAY, markersize=7)
            axes.annotate(
                spot[2],
                spot[:2],
                xytext=(9, 6),
                textcoords="offset points",
                weight="bold",
                bbox={"facecolor": PAPER, "edgecolor": "none", "alpha": 0.8, "pad": 1.0},
            )
        axes.legend(
            loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=4, frameon=False,
            borderaxespad=0.2, fontsize=10,
        )  # fmt: skip
        axes.set_xlabel(labels[0])
        axes.set_ylabel(labels[1])
        axes.set_title(title, loc="left", weight="bold", pad=30)
        return png(figure)


def _label_places(
    x: Array, y: Array, values: Array, levels: Array, share: float
) -> list[tuple[float, float]]:
    """Where lines pass one column of the chart, so that two sets of labels stay apart."""
    column = round(share * (len(x) - 1))
    along = values[column]
    found = []
    for level in levels:
        below = along[:-1] - level
        above = along[1:] - level
        there = np.isfinite(below) & np.isfinite(above)
        for k in np.flatnonzero(there & ((below > 0.0) != (above > 0.0))):
            part = below[k] / (below[k] - above[k])
            found.append((float(x[column]), float(y[k] + part * (y[k + 1] - y[k]))))
    met = sum(bool(np.nanmin(values) < level < np.nanmax(values)) for level in levels)
    return found if len(found) >= max(_LEAST_LABELS, 0.6 * met) else []


def _flat(colour: str) -> Any:
    from matplotlib.colors import ListedColormap

    return ListedColormap([colour])
