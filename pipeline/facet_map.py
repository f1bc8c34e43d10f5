"""A figure of every facet of a body as a picture: two views, bands of colour, the worst place.

Facets are drawn from the farthest to the nearest, so nothing but the charting library is needed.
"""

from __future__ import annotations

import io
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from pipeline.charts import FAINT, INK
from pipeline.fonts import written
from pipeline.palette import rgb
from pipeline.scene import Camera, Frame
from shapes.moments import Array

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Indices = npt.NDArray[np.intp]
Place = tuple[float, float, float]
_SIZE_IN, _DPI = (12.8, 7.2), 125
_LIGHT = np.array([-0.45, 0.62, 0.64])  # in the picture: right, up, towards the viewer
_DIM, _BRIGHT = 0.62, 0.42  # what a facet keeps of its colour away from the light, and adds to it
_PAPER = "#F6F2EA"
_PLATE: dict[str, Any] = {"facecolor": _PAPER, "edgecolor": "none", "alpha": 0.9}
_HALF_PT, _CLEAR_PT = 165.0, 21.0  # half of a view, and what a number keeps clear of others
PLAIN = "#DDD8CC"  # where there are no bands
VIEWS = (("from above", 32.0), ("from below", -32.0))


@dataclass(frozen=True)
class Band:
    """A colour with what it stands for, and how much of the body has it."""

    colour: str
    words: str
    share: str


@dataclass(frozen=True, eq=False)
class FacetMap:
    """What a picture shows.

    Attributes:
        title, words: what it is of, and what it shows.
        corners_mm: shape (n, 3, 3), the facets' corners.
        bands: the colours.
        which: shape (n,), the band of each facet.
        frame: the picture's X, Y and Z in the body's frame; Z is up.
        places: places that are meant, each with what is there.
        notes: sentences below.
    """

    title: str
    words: str
    corners_mm: Array
    bands: tuple[Band, ...]
    which: Indices
    frame: Frame
    places: tuple[tuple[Place, str], ...] = ()
    notes: tuple[str, ...] = ()


def facet_map(shown: FacetMap) -> bytes:
    """The picture as PNG; the same map gives the same bytes."""
    import matplotlib as mpl
    from matplotlib.figure import Figure

    from pipeline.chart_face import family

    with mpl.rc_context({"font.family": [family()], "text.color": INK}):
        figure = Figure(figsize=_SIZE_IN, dpi=_DPI, facecolor=_PAPER)
        figure.text(0.03, 0.945, written(shown.title), fontsize=19, weight="bold", va="center")
        figure.text(0.03, 0.895, shown.words, fontsize=12, color=FAINT, va="center")
        azimuth = _azimuth(shown)
        cameras = [Camera(azimuth, elevation, shown.frame) for _, elevation in VIEWS]
        half = max(_half_width(shown.corners_mm, camera) for camera in cameras)
        for k, ((name, _), camera) in enumerate(zip(VIEWS, cameras, strict=True)):
            axes = figure.add_axes((0.01 + 0.375 * k, 0.10, 0.37, 0.76))
            _view(axes, shown, camera, half)
            figure.text(0.195 + 0.375 * k, 0.075, name, fontsize=12, ha="center")
        _legend(figure, shown)
        for k, note in enumerate(shown.notes):
            figure.text(0.03, 0.040 - 0.024 * k, note, fontsize=9.5, color=FAINT)
        stream = io.BytesIO()
        figure.savefig(stream, format="png", metadata={"Software": None})
    return stream.getvalue()


def _azimuth(shown: FacetMap) -> float:
    """From where the first place is seen, else from a little beside X."""
    if not shown.places:
        return 35.0
    x, y, _ = np.array(shown.frame) @ (np.array(shown.places[0][0]) - _middle(shown.corners_mm))
    if np.hypot(x, y) < 1.0:
        return 35.0
    return float(np.round(np.degrees(np.arctan2(y, x)), 1)) + 20.0


def _middle(corners: Array) -> Array:
    points = corners.reshape(-1, 3)
    return np.asarray((points.min(axis=0) + points.max(axis=0)) / 2.0)


def _half_width(corners: Array, camera: Camera) -> float:
    """Half the width of a square that holds the body as a camera sees it."""
    return 1.06 * float(np.abs(camera.project(corners - _middle(corners))).max())


def _view(axes: Axes, shown: FacetMap, camera: Camera, half: float) -> None:
    """One view: facets that face the viewer, the nearest last."""
    from matplotlib.collections import PolyCollection

    across = camera.axes()
    corners = (shown.corners_mm - _middle(shown.corners_mm)) @ across.T
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(normals, axis=1)
    normals /= np.where(size > 0.0, size, 1.0)[:, None]
    seen = np.flatnonzero(normals[:, 2] > 0.0)
    order = seen[np.argsort(corners[seen, :, 2].mean(axis=1), kind="stable")]
    palette = [rgb(band.colour) for band in shown.bands] or [rgb(PLAIN)]
    colours = np.array(palette)[shown.which[order]]
    light = np.clip(normals[order] @ _LIGHT, 0.0, 1.0)[:, None]
    shaded: Any = np.clip(colours * (_DIM + _BRIGHT * light), 0.0, 1.0)
    polygons: Any = corners[order][:, :, :2]
    axes.add_collection(
        PolyCollection(polygons, facecolors=shaded, edgecolors="none", antialiaseds=False),
        autolim=False,  # the limits are set below
    )
    axes.set_xlim(-half, half)
    axes.set_ylim(-half, half)
    axes.set_aspect("equal")
    axes.set_axis_off()
    middle = _middle(shown.corners_mm)
    spots = [(np.array(place) - middle) @ across.T for place, _ in shown.places]
    if len(spots) == 1:
        _worded(axes, spots[0], half, shown.places[0][1])
    for k, (at, aside) in enumerate(zip(spots, _asides(spots, half), strict=True)):
        faint = _ring(axes, at, half)
        if len(spots) > 1:
            axes.annotate(
                str(k + 1), (at[0], at[1]), aside, textcoords="offset points", fontsize=12,
                weight="bold", ha="center", va="center", alpha=faint,
                bbox={"boxstyle": "round,pad=0.2", **_PLATE},
                arrowprops={"arrowstyle": "-", "color": INK, "linewidth": 0.7, "alpha": faint,
                            "shrinkA": 0, "shrinkB": 8},
            )  # fmt: skip


def _ring(axes: Axes, at: Array, half: float) -> float:
    """A ring about a place, pale where it is behind; how strong it is."""
    faint = 0.45 if at[2] < -0.02 * half else 1.0
    axes.plot(
        at[0], at[1], marker="o", markersize=15, markerfacecolor="none", markeredgecolor=INK,
        markeredgewidth=1.6, linestyle="none", fillstyle="none", alpha=faint,
    )  # fmt: skip
    return faint


def _worded(axes: Axes, at: Array, half: float, words: str) -> None:
    """What is at the only place, in a corner, with a leader."""
    left = at[0] > 0.0
    said = words + (" (behind)" if at[2] < -0.02 * half else "")
    axes.annotate(
        said, (at[0], at[1]), ((0.04 if left else 0.96), (0.03 if at[1] > 0.0 else 0.955)),
        textcoords="axes fraction", fontsize=11.5, ha="left" if left else "right",
        arrowprops={"arrowstyle": "-", "color": INK, "linewidth": 0.9, "shrinkB": 9},
        bbox={"boxstyle": "round,pad=0.25", **_PLATE},
    )  # fmt: skip


def _asides(spots: Sequence[Array], half: float) -> list[tuple[float, float]]:
    """Where the numbers stand from their places, points: outwards, but on nothing else."""
    taken = [np.array(at[:2]) / half * _HALF_PT for at in spots]
    found = []
    for at in list(taken):
        out = float(np.arctan2(at[1], at[0]))
        tries = [
            far * np.array([np.cos(out + turn), np.sin(out + turn)])
            for far in (26.0, 42.0, 58.0)
            for turn in (0.0, 0.6, -0.6, 1.2, -1.2, 1.9, -1.9, 2.6, -2.6)
        ]
        room = [min(np.linalg.norm(at + way - other) for other in taken) for way in tries]
        best = next((k for k, r in enumerate(room) if r >= _CLEAR_PT), int(np.argmax(room)))
        taken.append(at + tries[best])
        found.append((float(tries[best][0]), float(tries[best][1])))
    return found


def _legend(figure: Figure, shown: FacetMap) -> None:
    """The bands with their shares of the area; below them the places by number."""
    from matplotlib.patches import Rectangle

    y = 0.80
    if shown.bands:
        figure.text(0.985, y + 0.045, "share of the area", fontsize=10, color=FAINT, ha="right")
    for band in shown.bands:
        figure.add_artist(
            Rectangle((0.775, y - 0.014), 0.018, 0.030, facecolor=band.colour, edgecolor=INK,
                      linewidth=0.6, transform=figure.transFigure)
        )  # fmt: skip
        figure.text(0.80, y, band.words, fontsize=11.5, va="center")
        figure.text(0.985, y, band.share, fontsize=11.5, va="center", ha="right")
        y -= 0.047
    if len(shown.places) > 1:
        for k, (_, words) in enumerate(shown.places):
            figure.text(0.775, y, f"{k + 1}", fontsize=11.5, weight="bold", va="center")
            lines = textwrap.wrap(words, 34)
            figure.text(0.80, y, "\n".join(lines), fontsize=11.5, va="center", linespacing=1.25)
            y -= 0.026 + 0.030 * len(lines)


def shares(which: Indices, areas_mm2: Array, count: int) -> tuple[str, ...]:
    """The share of the area in each band, as a legend says it."""
    total = float(areas_mm2.sum())
    found = np.bincount(which, weights=areas_mm2, minlength=count) / total
    return tuple(_share(float(share)) for share in found)


def _share(share: float) -> str:
    if share == 0.0:
        return "none"
    return "< 0.1 %" if share < 0.001 else f"{100.0 * share:.1f} %"


def banded(values: Array, limits: Sequence[float]) -> Indices:
    """The band of each value: 0 below the first limit, 1 from it on, and so forth."""
    return np.searchsorted(np.array(limits), values, side="right")
