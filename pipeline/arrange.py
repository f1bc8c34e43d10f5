"""A scene laid out on a picture of a size: a pure function, no renderer."""

from __future__ import annotations

import numpy as np

from pipeline import blocks
from pipeline.callouts import callouts, label_size
from pipeline.errors import OutputError
from pipeline.scene import Scene
from pipeline.sheet import Block, Box, Point, Scale, Sheet
from pipeline.units import MM_PER_IN

_SCALE_HIGH = 3.3  # of an em: the bar with its figures


def lay_out(scene: Scene, size: tuple[int, int]) -> Sheet:
    """Where everything goes, in the largest text for which all of it finds room.

    Raises:
        OutputError: not even small text finds room.
    """
    wish = max(10.0, round((size[0] * size[1]) ** 0.5 / 60.0))
    em = wish
    while em >= min(7.0, 0.4 * wish):
        sheet = _try(scene, size, em)
        if sheet is not None:
            return sheet
        em -= max(0.5, round(wish / 24.0, 1))
    raise OutputError(
        f"the words of this picture find no room in {size[0]} x {size[1]} px: ask for a larger size"
    )


def _try(scene: Scene, size: tuple[int, int], em: float) -> Sheet | None:
    words, stage, foot = (_beside if size[0] >= 1.2 * size[1] else _above)(scene, size, em)
    if stage.width < 0.4 * size[0] or stage.height < 0.38 * size[1]:
        return None
    if not all(line.box.within(Box(0, 0, *size)) for block in words for line in block.words):
        return None
    origin, px_per_mm = _framed(scene, stage, em)
    labels = callouts(scene, stage, origin, px_per_mm, em)
    if labels is None:
        return None
    px_per_in = px_per_mm * MM_PER_IN
    inches = max(1, min(4, int(foot.width / px_per_in)))
    scale = Scale((foot.left, foot.top + 0.5 * em), inches, px_per_in)
    return Sheet(size, em, stage, origin, px_per_mm, words, labels, scale)


def _beside(scene: Scene, size: tuple[int, int], em: float) -> tuple[tuple[Block, ...], Box, Box]:
    """A wide picture: words in a column on the left, the stage on the right."""
    margin, gap = 1.7 * em, 1.3 * em
    widest = 0.36 * size[0]
    figures = blocks.figures(scene, em)
    top = [
        blocks.title(scene, em, widest),
        figures,
        blocks.legend(scene, em, widest, figures.width),
    ]
    wide = max(block.width for block in top)
    notes = blocks.notes(scene, em, max(wide, 11.0 * em))
    y, placed = margin, []
    for block in top:
        placed.append(block.moved(margin, y))
        y += block.height + gap
    foot_top = size[1] - margin - notes.height - _SCALE_HIGH * em
    placed.append(notes.moved(margin, size[1] - margin - notes.height))
    left = round(margin + max(wide, notes.width) + gap)
    stage = Box(left, round(0.5 * em), round(size[0] - 0.8 * em), round(size[1] - 0.5 * em))
    if y > foot_top:
        stage = Box(0, 0, 0, 0)
    return tuple(placed), stage, Box(margin, foot_top, margin + max(wide, 11 * em), foot_top)


def _above(scene: Scene, size: tuple[int, int], em: float) -> tuple[tuple[Block, ...], Box, Box]:
    """A tall or square picture: title and figures above, legend and notes below."""
    margin, gap = 1.6 * em, 1.2 * em
    inner = size[0] - 2.0 * margin
    figures = blocks.figures(scene, em)
    title = blocks.title(scene, em, inner)
    placed = [title.moved(margin, margin)]
    if title.width + gap + figures.width <= inner:
        placed.append(figures.moved(size[0] - margin - figures.width, margin))
        top = margin + max(title.height, figures.height)
    else:
        placed.append(figures.moved(margin, margin + title.height + 0.5 * gap))
        top = margin + title.height + 0.5 * gap + figures.height
    legend = blocks.legend(scene, em, inner)
    room = inner - legend.width - 2.0 * gap
    bottom = size[1] - margin
    if room >= 11.0 * em:
        notes = blocks.notes(scene, em, min(room, 22.0 * em))
        wide = max(notes.width, 11.0 * em)
        left = size[0] - margin - wide
        high = max(legend.height, notes.height + _SCALE_HIGH * em)
        placed += [
            legend.moved(margin, bottom - legend.height),
            notes.moved(left, bottom - notes.height),
        ]
        foot_top = bottom - notes.height - _SCALE_HIGH * em
    else:
        notes = blocks.notes(scene, em, inner)
        left, wide = margin, inner
        high = legend.height + notes.height + (_SCALE_HIGH + 0.8) * em
        placed += [legend.moved(margin, bottom - high), notes.moved(margin, bottom - notes.height)]
        foot_top = bottom - notes.height - _SCALE_HIGH * em
    stage = Box(
        round(0.6 * em),
        round(top + 0.6 * em),
        round(size[0] - 0.6 * em),
        round(bottom - high - 0.6 * em),
    )
    return tuple(placed), stage, Box(left, foot_top, left + wide, foot_top)


def _framed(scene: Scene, stage: Box, em: float) -> tuple[Point, float]:
    """Where the ball's centre falls and px a mm, so that all is seen with room for the labels."""
    disc = scene.reach_mm * np.array([[1, 1], [-1, -1]])
    ends = [scene.camera.project(axis.path_mm) for axis in scene.axes]
    points = np.concatenate([disc, *ends])
    low, high = points.min(axis=0), points.max(axis=0)
    longest = max((label_size(label, em)[0] for label in scene.labels), default=0.0)
    tall = stage.height > 1.25 * stage.width  # then there is room above and below
    gutter = min((0.3 if tall else 0.55) * longest + 1.2 * em, 0.2 * stage.width)
    across, upright = high - low
    px_per_mm = min((stage.width - 2.0 * gutter) / across, (stage.height - 2.4 * em) / upright)
    middle = (low + high) / 2.0
    x = (stage.left + stage.right) / 2.0 - px_per_mm * middle[0]
    y = (stage.top + stage.bottom) / 2.0 + px_per_mm * middle[1]
    return (float(x), float(y)), float(px_per_mm)
