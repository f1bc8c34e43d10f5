"""Labels on two hundred pictures drawn by lot: none on another, none cut off, whatever the size.

Scenes are made up, as long-winded as designs may be: names of up to 80 characters, up to a dozen
parts, labels, dimensions and ramps, in any size that can be asked for up to 4K and on any page.
The lot is the same in every run.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
import pytest

from pipeline.arrange import Page, lay_out
from pipeline.errors import OutputError
from pipeline.palette import HIGH_AXIS, INTERMEDIATE_AXIS, LOW_AXIS
from pipeline.picture import LEAST_PX, VIDEO_SIZES
from pipeline.scene import (
    INK,
    Axis,
    Camera,
    Dimension,
    Entry,
    Label,
    Line,
    Mark,
    Ramp,
    Scene,
)  # fmt: skip
from pipeline.sheet import Box, Sheet, scale_words, words_of
from pipeline.staging import NOTE
from tests.pipeline.plain_scene import plain_scene

COUNT = 220
MOST_PX = 3840
SYLLABLES = ("sand", "pip", "er", "Wim", "brel", "knot", "of", "the", "MW", "li", "outer", "core")
COLOURS = (LOW_AXIS, INTERMEDIATE_AXIS, HIGH_AXIS)
LINES: tuple[Line, ...] = ("solid", "dashed", "double")
# Below this a refusal would be right: a card of twelve parts fills half of it in the least text.
TINY_PX = 480


@dataclass(frozen=True, eq=False)
class Laid:
    lot: int
    scene: Scene
    page: Page
    size: tuple[int, int]
    sheet: Sheet | None  # None where it was refused

    @property
    def said(self) -> str:
        """By which a fault is found again."""
        return f"lot {self.lot}: {self.size[0]} x {self.size[1]} px, {self.page}"


def name(lots: np.random.Generator, most: int) -> str:
    words = [str(lots.choice(SYLLABLES)) for _ in range(int(lots.integers(1, 20)))]
    glue = " " if lots.random() < 0.8 else ""
    return glue.join(words)[: int(lots.integers(3, most + 1))].strip() or "core"


def size(lots: np.random.Generator) -> tuple[int, int]:
    """One of the named ones, or any, small ones as likely as large ones."""
    if lots.random() < 0.35:
        return list(VIDEO_SIZES.values())[int(lots.integers(len(VIDEO_SIZES)))]
    wide, high = np.exp(lots.uniform(np.log(LEAST_PX), np.log(MOST_PX), 2)).round()
    return int(wide), int(high)


def page(lots: np.random.Generator) -> Page:
    return Page(
        card=bool(lots.random() < 0.75),
        labels=bool(lots.random() < 0.85),
        safe=bool(lots.random() < 0.5),
    )


def arrows(lots: np.random.Generator, reach: float) -> tuple[list[Axis], list[Label]]:
    """As many as three axes square to one another, from somewhere near the middle."""
    ways = np.linalg.qr(lots.normal(size=(3, 3)))[0]
    start = lots.normal(size=3) * 0.03 * reach
    axes, labels = [], []
    for k in range(int(lots.integers(0, 4))):
        path = np.array([start, start + 1.2 * reach * ways[k]])
        named = ("low", "intermediate", "high")[k]
        axes.append(Axis(named, path, LINES[k], 1, COLOURS[k]))
        more = ("any direction", "across the low axis") if lots.random() < 0.3 else ()
        lines = (f"{named} RG 2.{lots.integers(400, 800)} in", *more)
        labels.append(Label(path[1], lines, COLOURS[k], named))
    return axes, labels


def parts(lots: np.random.Generator, reach: float) -> list[Label]:
    """Labels of parts, anywhere in the ball."""
    return [
        Label(
            lots.normal(size=3) * 0.4 * reach, (name(lots, 80), "1.234 g/cm\u00b3, 5.67 lb"), INK,
            f"part {k}",
        )
        for k in range(int(lots.integers(0, 7)))
    ]  # fmt: skip


def dimensions(lots: np.random.Generator, reach: float, camera: Camera) -> tuple[Dimension, ...]:
    """Widths below and heights at the right, as a section has them."""
    right, up, _ = camera.axes()
    found = []
    for k in range(int(lots.integers(1, 6))):
        ends = [s * reach * (0.4 + 0.12 * k) * right for s in (-1.0, 1.0)]
        line = np.array([end - (1.155 + 0.155 * k) * reach * up for end in ends])
        found.append(Dimension(ends[0], ends[1], line, f"{lots.uniform(2.0, 9.0):.3f} in"))
    stops = np.sort(lots.uniform(-0.9, 0.9, 2)) * reach
    for a, b in ((-reach, stops[0]), (stops[0], stops[1]), (stops[1], reach)):
        if b - a > 0.02 * reach:
            line = np.array([1.155 * reach * right + z * up for z in (a, b)])
            found.append(Dimension(a * up, b * up, line, f"{lots.uniform(0.1, 9.0):.3f} in"))
    return tuple(found)


def ball(lots: np.random.Generator) -> Scene:
    reach = float(lots.uniform(10.0, 110.0))
    camera = Camera(float(lots.uniform(-180.0, 180.0)), float(lots.uniform(-80.0, 80.0)))
    measured = bool(lots.random() < 0.2)
    if measured:
        camera = replace(camera, elevation_deg=0.0)
    axes, labels = ([], []) if measured else arrows(lots, reach)
    labels += [] if measured else parts(lots, reach)
    marks = []
    if lots.random() < 0.7 and not measured:
        at = lots.normal(size=3) * 0.1 * reach
        marks.append(Mark("cg", at, False))
        labels.append(Label(at, ("CG", "0.012 in from", "the ball's centre"), INK, "cg"))
    legend = tuple(
        Entry("#B5482A", name(lots, 80), "1.234", f"{lots.uniform(0.1, 16.0):.2f}", bool(k % 3))
        for k in range(int(lots.integers(1, 13)))
    )
    ramp = Ramp("density, g/cm\u00b3", ("#F3E6C4", "#152F45"), ("0.812", "2.330"))
    return replace(
        plain_scene(),
        name=name(lots, 80),
        revision=name(lots, 80),
        figures=(
            ("ball weight", "15.00 lb", ""),
            ("low RG", "2.500 in", "low to medium"),
            ("total differential", "0.050 in", "medium to high"),
            ("intermediate differential", "0.012 in", ""),
        ),
        legend=legend,
        notes=("A wedge of 120\u00b0 is cut out.", NOTE),
        camera=camera,
        axes=tuple(axes),
        marks=tuple(marks),
        labels=tuple(labels),
        reach_mm=reach,
        dimensions=dimensions(lots, reach, camera) if measured else (),
        ramp=ramp if lots.random() < 0.3 else None,
    )


def row(lots: np.random.Generator) -> Scene:
    """Bodies beside one another, each with its words below, as in the views of several balls."""
    camera = Camera(0.0, float(lots.uniform(0.0, 20.0)))
    right, up, _ = camera.axes()
    count, wide = int(lots.integers(2, 7)), float(lots.uniform(40.0, 220.0))
    half = 0.725 * wide * count
    labels = tuple(
        Label(
            ((k + 0.5) / count * 2.0 - 1.0) * half * right - 0.5 * wide * up,
            (name(lots, 40), "5.52 in high, 4.40 in across", "15.00 lb", "RG 2.500 in"),
            INK, f"ball {k}",
        )
        for k in range(count)
    )  # fmt: skip
    return replace(
        plain_scene(), name=name(lots, 80), revision="", figures=(), legend=(),
        notes=("Cores at one scale.", NOTE), camera=camera, axes=(), marks=(), labels=labels,
        reach_mm=float(np.hypot(half, wide)),
        extent_mm=((-half, -0.5 * wide), (half, 0.5 * wide)),
    )  # fmt: skip


def drawn_by_lot(lot: int) -> Laid:
    lots = np.random.default_rng([2026, lot])
    scene = (row if lots.random() < 0.15 else ball)(lots)
    shown, wanted = page(lots), size(lots)
    try:
        return Laid(lot, scene, shown, wanted, lay_out(scene, wanted, shown))
    except OutputError:
        return Laid(lot, scene, shown, wanted, None)


@pytest.fixture(scope="module")
def everything() -> list[Laid]:
    return [drawn_by_lot(lot) for lot in range(COUNT)]


@pytest.fixture(scope="module")
def laid(everything: list[Laid]) -> list[Laid]:
    return [one for one in everything if one.sheet is not None]


def sheets(laid: list[Laid]) -> Iterator[tuple[Laid, Sheet]]:
    for one in laid:
        assert one.sheet is not None
        yield one, one.sheet


def card(sheet: Sheet) -> list[Box]:
    """The boxes of the card's words."""
    found = [words.box for block in sheet.blocks for words in block.words]
    if sheet.scale is not None:
        found += [words.box for words in scale_words(sheet, sheet.scale)]
    return found


def bar(sheet: Sheet) -> Box | None:
    """The scale's bar, as pipeline/paint.py draws it."""
    if sheet.scale is None:
        return None
    (x, y), em = sheet.scale.at, sheet.em
    wide = sheet.scale.px_per_in * sheet.scale.inches
    return Box(x, y + 0.98 * em, x + wide, y + 1.28 * em)


def lengths(one: Laid, sheet: Sheet) -> list[Box]:
    """The boxes of the words on dimensions."""
    if not one.page.labels:
        return []
    return [words_of(one.scene, sheet, length).box for length in one.scene.dimensions]


def test_only_tiny_pictures_are_refused(everything: list[Laid]) -> None:
    refused = [one.said for one in everything if one.sheet is None and min(one.size) >= TINY_PX]
    assert refused == []


def test_most_pictures_are_drawn(everything: list[Laid], laid: list[Laid]) -> None:
    """More than 200, so that the other tests have something to look at."""
    assert len(laid) >= 200, f"of {len(everything)}"


def test_no_label_lies_on_another(laid: list[Laid]) -> None:
    bad = [
        one.said
        for one, sheet in sheets(laid)
        if any(a.box.overlaps(b.box) for a, b in combinations(sheet.callouts, 2))
    ]
    assert bad == []


def test_every_label_is_there(laid: list[Laid]) -> None:
    bad = [
        one.said
        for one, sheet in sheets(laid)
        if len(sheet.callouts) != (len(one.scene.labels) if one.page.labels else 0)
    ]
    assert bad == []


def test_labels_keep_to_the_stage(laid: list[Laid]) -> None:
    bad = [
        one.said
        for one, sheet in sheets(laid)
        if not all(callout.box.within(sheet.stage) for callout in sheet.callouts)
    ]
    assert bad == []


def test_the_words_of_a_label_keep_to_its_box(laid: list[Laid]) -> None:
    """To a thousandth of a pixel: a line as long as the box ends where it does."""
    bad = [
        one.said
        for one, sheet in sheets(laid)
        for callout in sheet.callouts
        if not all(words.box.within(callout.box.shrunk(-1e-3)) for words in callout.words)
    ]
    assert bad == []


def test_the_stage_lies_in_the_picture(laid: list[Laid]) -> None:
    bad = [one.said for one, s in sheets(laid) if not s.stage.within(Box(0, 0, *s.size))]
    assert bad == []


def test_nothing_is_written_on_the_card_s_words(laid: list[Laid]) -> None:
    bad = []
    for one, sheet in sheets(laid):
        others = [callout.box for callout in sheet.callouts] + lengths(one, sheet)
        if any(box.overlaps(other) for box in card(sheet) for other in others):
            bad.append(one.said)
    assert bad == []


def test_the_card_s_own_words_keep_clear_of_one_another(laid: list[Laid]) -> None:
    bad = [
        one.said
        for one, sheet in sheets(laid)
        if any(a.overlaps(b) for a, b in combinations(card(sheet), 2))
    ]
    assert bad == []


def test_the_card_s_words_lie_in_the_picture(laid: list[Laid]) -> None:
    bad = [
        one.said
        for one, sheet in sheets(laid)
        if not all(box.within(Box(0, 0, *sheet.size)) for box in card(sheet))
    ]
    assert bad == []


def test_the_scale_bar_stays_off_the_stage(laid: list[Laid]) -> None:
    """Else it would lie on the ball or its labels."""
    bad = []
    for one, sheet in sheets(laid):
        drawn = bar(sheet)
        if drawn is not None and drawn.overlaps(sheet.stage):
            bad.append(one.said)
    assert bad == []


def test_lengths_are_written_in_the_picture(laid: list[Laid]) -> None:
    bad = [
        one.said
        for one, sheet in sheets(laid)
        if not all(box.within(Box(0, 0, *sheet.size)) for box in lengths(one, sheet))
    ]
    assert bad == []


def test_no_length_lies_on_another(laid: list[Laid]) -> None:
    bad = [
        one.said
        for one, sheet in sheets(laid)
        if any(a.overlaps(b) for a, b in combinations(lengths(one, sheet), 2))
    ]
    assert bad == []


def outside_the_safe_area(sheet: Sheet, boxes: Iterable[Box]) -> bool:
    """Whether any is nearer to an edge than a twentieth of the picture, as docs/pictures.md says.

    To half a pixel, by which the stage is rounded.
    """
    x, y = (0.05 * n - 0.5 for n in sheet.size)
    area = Box(x, y, sheet.size[0] - x, sheet.size[1] - y)
    return not all(box.within(area) for box in boxes)


def test_labels_keep_to_the_safe_area_when_asked_to(laid: list[Laid]) -> None:
    bad = [
        one.said
        for one, sheet in sheets(laid)
        if one.page.safe
        and outside_the_safe_area(sheet, (w.box for c in sheet.callouts for w in c.words))
    ]
    assert bad == []


def test_the_card_keeps_to_the_safe_area_when_asked_to(laid: list[Laid]) -> None:
    bad = [
        one.said
        for one, sheet in sheets(laid)
        if one.page.safe and outside_the_safe_area(sheet, card(sheet))
    ]
    assert bad == []


def test_lengths_keep_to_the_safe_area_when_asked_to(laid: list[Laid]) -> None:
    bad = [
        one.said
        for one, sheet in sheets(laid)
        if one.page.safe and outside_the_safe_area(sheet, lengths(one, sheet))
    ]
    assert bad == []
