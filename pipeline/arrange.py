"""A scene laid out on a picture of a size: a pure function, no renderer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pipeline import blocks, fonts
from pipeline.callouts import callouts, label_size, places
from pipeline.errors import OutputError
from pipeline.scene import Scene
from pipeline.sheet import Block, Box, Point, Scale, Sheet
from pipeline.units import MM_PER_IN
from shapes.moments import Array

_SCALE_HIGH = 3.3  # of an em: the bar with its figures
_SCALES_IN = (4.0, 3.0, 2.0, 1.0, 0.5, 0.25, 0.1)  # what a scale bar may be long
_SAFE = 0.05  # of width and height: television's safe area for words, SMPTE ST 2046-1, from memory


@dataclass(frozen=True)
class Page:
    """What a picture shows beside the ball, and what it keeps clear.

    Attributes:
        card: title, figures, parts, notes and scale.
        labels: words at points of the ball, and dimensions.
        safe: whether words keep clear of the edges that screens may cut off.
    """

    card: bool = True
    labels: bool = True
    safe: bool = False


WHOLE_PAGE = Page()


@dataclass(frozen=True)
class Frame:
    """What stays as it is from one picture of a film to the next.

    Attributes:
        size, em, stage, origin, px_per_mm: see Sheet.
        boxes: where each label stands, by its key.
        page: what is shown.
    """

    size: tuple[int, int]
    em: float
    stage: Box
    origin: Point
    px_per_mm: float
    boxes: dict[str, Box]
    page: Page


def lay_out(scene: Scene, size: tuple[int, int], page: Page = WHOLE_PAGE) -> Sheet:
    """Where everything goes, in the largest text for which all of it finds room.

    Raises:
        OutputError: not even small text finds room.
    """
    return sheet_of(scene, frame_for([scene], size, page))


def frame_for(scenes: Sequence[Scene], size: tuple[int, int], page: Page = WHOLE_PAGE) -> Frame:
    """One frame for several scenes, such as those of a film.

    Raises:
        OutputError: not even small text finds room.
    """
    scenes = [shown(scene, page) for scene in scenes]
    wish = max(10.0, round((size[0] * size[1]) ** 0.5 / 60.0))
    em = wish
    while em >= min(7.0, 0.4 * wish):
        frame = _try(scenes, size, em, page)
        if frame is not None:
            return frame
        em -= max(0.5, round(wish / 24.0, 1))
    raise OutputError(
        f"the words of this picture find no room in {size[0]} x {size[1]} px: ask for a larger size"
    )


def sheet_of(scene: Scene, frame: Frame) -> Sheet:
    """A scene in a frame."""
    scene = shown(scene, frame.page)
    em, stage = frame.em, frame.stage
    labels = callouts(scene, frame.boxes, frame.origin, frame.px_per_mm, em)
    if not frame.page.card:
        return Sheet(frame.size, em, stage, frame.origin, frame.px_per_mm, (), labels, None)
    words, _, foot = _placed(scene, frame.size, em, frame.page)
    px_per_in = frame.px_per_mm * MM_PER_IN
    room = foot.width / px_per_in
    inches = next((n for n in _SCALES_IN if n <= room), _SCALES_IN[-1])
    scale = Scale((foot.left, foot.top + 0.5 * em), inches, px_per_in)
    return Sheet(frame.size, em, stage, frame.origin, frame.px_per_mm, words, labels, scale)


def shown(scene: Scene, page: Page) -> Scene:
    """The scene without what the page leaves out."""
    if page.labels:
        return scene
    return replace(scene, labels=(), marks=(), dimensions=())


def _placed(
    scene: Scene, size: tuple[int, int], em: float, page: Page
) -> tuple[tuple[Block, ...], Box, Box]:
    """Words, stage and the room for the scale."""
    margins = tuple(max(1.7 * em, _SAFE * n) if page.safe else 1.7 * em for n in size)
    wide = size[0] >= 1.2 * size[1] and bool(scene.figures)
    keep = (_SAFE * size[0], _SAFE * size[1]) if page.safe else (0.0, 0.0)
    return (_beside if wide else _above)(scene, size, em, (margins[0], margins[1]), keep)


def _try(scenes: Sequence[Scene], size: tuple[int, int], em: float, page: Page) -> Frame | None:
    inset = [max(0.5 * em, _SAFE * n) if page.safe else 0.5 * em for n in size]
    stage = Box(*(round(x) for x in (inset[0], inset[1], size[0] - inset[0], size[1] - inset[1])))
    if page.card:
        stages = []
        for scene in scenes:
            words, stage, _ = _placed(scene, size, em, page)
            stages.append(stage)
            if stage.width < 0.4 * size[0] or stage.height < 0.38 * size[1]:
                return None
            whole = Box(0, 0, *size)
            if not all(line.box.within(whole) for block in words for line in block.words):
                return None
        # the widest words of all scenes leave the stage that fits every one
        stage = Box(max(s.left for s in stages), max(s.top for s in stages),
                    min(s.right for s in stages), min(s.bottom for s in stages))  # fmt: skip
    origin, px_per_mm = _framed(scenes, stage, em)
    boxes = places(scenes, stage, origin, px_per_mm, em)
    if boxes is None:
        return None
    return Frame(size, em, stage, origin, px_per_mm, boxes, page)


def _beside(
    scene: Scene, size: tuple[int, int], em: float, margins: Point, keep: Point
) -> tuple[tuple[Block, ...], Box, Box]:
    """A wide picture: words in a column on the left, the stage on the right."""
    (margin, upper), gap = margins, 1.3 * em
    widest = 0.36 * size[0]
    figures = blocks.figures(scene, em)
    top = [
        blocks.title(scene, em, widest),
        figures,
        blocks.legend(scene, em, widest, figures.width),
        blocks.ramp(scene, em, widest),
    ]
    top = [block for block in top if block.height > 0.0]
    wide = max((block.width for block in top), default=0.0)
    notes = blocks.notes(scene, em, max(wide, 11.0 * em))
    y, placed = upper, []
    for block in top:
        placed.append(block.moved(margin, y))
        y += block.height + gap
    foot_top = size[1] - upper - notes.height - _SCALE_HIGH * em
    placed.append(notes.moved(margin, size[1] - upper - notes.height))
    left = round(margin + max(wide, notes.width) + gap)
    edge = (max(keep[0], margin - 0.9 * em), max(keep[1], 0.5 * em, upper - 1.2 * em))
    stage = Box(left, round(edge[1]), round(size[0] - edge[0]), round(size[1] - edge[1]))
    if y > foot_top:
        stage = Box(0, 0, 0, 0)
    return tuple(placed), stage, Box(margin, foot_top, margin + max(wide, 11 * em), foot_top)


def _above(
    scene: Scene, size: tuple[int, int], em: float, margins: Point, keep: Point
) -> tuple[tuple[Block, ...], Box, Box]:
    """A tall or square picture: title and figures above, legend and notes below."""
    (margin, upper), gap = margins, 1.2 * em
    inner = size[0] - 2.0 * margin
    figures = blocks.figures(scene, em)
    title = blocks.title(scene, em, inner)
    placed = [title.moved(margin, upper)]
    if title.width + gap + figures.width <= inner:
        placed.append(figures.moved(size[0] - margin - figures.width, upper))
        top = upper + max(title.height, figures.height)
    else:
        placed.append(figures.moved(margin, upper + title.height + 0.5 * gap))
        top = upper + title.height + 0.5 * gap + figures.height
    legend = _stacked(blocks.legend(scene, em, inner), blocks.ramp(scene, em, inner), 0.8 * em)
    room = inner - legend.width - 2.0 * gap
    bottom = size[1] - upper
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
    edge = max(keep[0], 0.6 * em, margin - em)
    stage = Box(
        round(edge),
        round(top + 0.6 * em),
        round(size[0] - edge),
        round(bottom - high - 0.6 * em),
    )
    return tuple(placed), stage, Box(left, foot_top, left + wide, foot_top)


def _stacked(upper: Block, lower: Block, gap: float) -> Block:
    """Two blocks, one below the other."""
    if not lower.height or not upper.height:
        return lower if not upper.height else upper
    below = lower.moved(0.0, upper.height + gap)
    return Block(
        max(upper.width, lower.width),
        upper.height + gap + lower.height,
        (*upper.words, *below.words),
        (*upper.swatches, *below.swatches),
        (*upper.bands, *below.bands),
    )


def _framed(scenes: Sequence[Scene], stage: Box, em: float) -> tuple[Point, float]:
    """Where the ball's centre falls and px a mm, so that all is seen with room for the labels."""
    points = np.concatenate([_outline(scene) for scene in scenes])
    low, high = points.min(axis=0), points.max(axis=0)
    labels = [label for scene in scenes for label in scene.labels]
    longest = max((label_size(label, em)[0] for label in labels), default=0.0)
    tall = stage.height > 1.25 * stage.width  # then there is room above and below
    gutter = min((0.3 if tall else 0.55) * longest + 1.2 * em, 0.2 * stage.width)
    written = [d.words for scene in scenes for d in scene.dimensions]
    half = max((fonts.width(words, 0.9 * em) / 2.0 for words in written), default=0.0)
    gutter = max(gutter, half + 0.2 * em if written else 0.0)
    below = max((_room_below(scene, em) for scene in scenes), default=0.0)
    across, upright = high - low
    room = stage.height - 2.4 * em - below
    px_per_mm = min((stage.width - 2.0 * gutter) / across, room / upright)
    middle = (low + high) / 2.0
    x = (stage.left + stage.right) / 2.0 - px_per_mm * middle[0]
    y = (stage.top + stage.bottom - below) / 2.0 + px_per_mm * middle[1]
    return (float(x), float(y)), float(px_per_mm)


def _room_below(scene: Scene, em: float) -> float:
    """What labels of the bodies' lower edges need below these, px."""
    if scene.extent_mm is None:
        return 0.0
    lower = scene.extent_mm[0][1]
    below = [x for x in scene.labels if scene.camera.project(x.at_mm)[1] < lower + 1.0]
    return max((label_size(label, em)[1] + 2.0 * em for label in below), default=0.0)


def _outline(scene: Scene) -> Array:
    """Points, to the right and up, mm, that hold all of a scene between them."""
    disc = scene.reach_mm * np.array([[1, 1], [-1, -1]])
    if scene.extent_mm is not None:
        disc = np.array(scene.extent_mm)
    ends = [scene.camera.project(axis.path_mm) for axis in scene.axes]
    lines = [scene.camera.project(dimension.line_mm) for dimension in scene.dimensions]
    return np.concatenate([disc, *ends, *lines])
