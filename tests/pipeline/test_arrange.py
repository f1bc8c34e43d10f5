"""Layout: nothing overlaps and nothing is clipped, at any size, for few parts and for many."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from pipeline.arrange import lay_out
from pipeline.ball import build_ball
from pipeline.errors import OutputError
from pipeline.load import load, read_design
from pipeline.scene import Scene
from pipeline.sheet import Box, Sheet
from pipeline.shipped import shipped
from pipeline.view_list import VIEWS
from pipeline.weigh import weigh
from pipeline.wish import AS_IT_SUITS
from tests.pipeline.plain_scene import plain_scene

SIZES = [
    (1920, 1080), (1280, 720), (640, 360), (360, 360), (360, 640), (1080, 1080), (1080, 1920),
    (1001, 777), (3840, 2160), (8192, 360), (360, 8192),
]  # fmt: skip
BEADS = "".join(
    f"  - {{name: insert with a long name {k}, material: a, shape: box, size: [0.6, 0.6, 0.6],"
    f" move: [{1.8 * np.cos(k):.3f}, {1.8 * np.sin(k):.3f}, {0.3 * k - 1:.2f}]}}\n"
    for k in range(9)
)
TWELVE = f"""
format: corewright 1
name: A ball whose name is a good deal longer than any sensible name
revision: 12b of the second series
units: in
ball: {{diameter: 8.5}}
materials: {{a: {{density: 2}}, b: {{density: 1.1}}}}
parts:
  - {{name: core, material: a, shape: ellipsoid, size: [2.2, 2, 4.2], tilt: {{by: 20, toward: 70}}}}
{BEADS}  - {{name: outer core, material: b, shape: sphere, diameter: 7}}
  - {{name: cover, material: a, shape: sphere, diameter: 8.5}}
"""


@pytest.fixture(scope="module")
def scenes() -> list[Scene]:
    """Every view of a ball that is quick to cut, and some of others."""
    shown = {
        "turnstone": list(VIEWS),
        "dunlin": ["cutaway", "exploded", "section"],
        "twelve": ["cutaway", "half", "densities"],
    }
    balls = {name: build_ball(load(shipped(name))) for name in ("dunlin", "turnstone")}
    balls["twelve"] = build_ball(read_design(TWELVE))
    return [
        VIEWS[view].draw(balls[name], weigh(balls[name]), AS_IT_SUITS)
        for name, views in shown.items()
        for view in views
    ]


@pytest.fixture(scope="module", params=SIZES, ids=lambda s: f"{s[0]}x{s[1]}")
def laid(scenes: list[Scene], request: pytest.FixtureRequest) -> list[tuple[Scene, Sheet]]:
    return [(scene, lay_out(scene, request.param)) for scene in scenes]


def test_words_can_be_read(laid: list[tuple[Scene, Sheet]]) -> None:
    assert min(sheet.em for _, sheet in laid) >= 5.0


def test_words_lie_on_the_sheet(laid: list[tuple[Scene, Sheet]]) -> None:
    for _, sheet in laid:
        frame = Box(0, 0, *sheet.size)
        for block in (*sheet.blocks, *sheet.callouts):
            assert all(words.box.within(frame) for words in block.words)


def test_words_beside_the_ball_lie_beside_the_stage(laid: list[tuple[Scene, Sheet]]) -> None:
    for _, sheet in laid:
        lines = [words.box for block in sheet.blocks for words in block.words]
        assert not any(box.overlaps(sheet.stage) for box in lines)


def test_no_words_lie_on_others(laid: list[tuple[Scene, Sheet]]) -> None:
    for _, sheet in laid:
        labels = [callout.box for callout in sheet.callouts]
        lines = [words.box for block in sheet.blocks for words in block.words]
        for boxes in (labels, lines):
            assert not any(one.overlaps(other) for one, other in combinations(boxes, 2))


def test_every_label_lies_in_the_stage(laid: list[tuple[Scene, Sheet]]) -> None:
    for scene, sheet in laid:
        assert len(sheet.callouts) == len(scene.labels)
        assert all(callout.box.within(sheet.stage) for callout in sheet.callouts)


def bodies(scene: Scene, sheet: Sheet) -> Box:
    """Where all that is solid falls on the sheet."""
    low, high = scene.extent_mm or ((-scene.reach_mm,) * 2, (scene.reach_mm,) * 2)
    (x, y), scale = sheet.origin, sheet.px_per_mm
    return Box(x + scale * low[0], y - scale * high[1], x + scale * high[0], y - scale * low[1])


def test_the_ball_and_its_axes_lie_in_the_stage(laid: list[tuple[Scene, Sheet]]) -> None:
    for scene, sheet in laid:
        assert bodies(scene, sheet).within(sheet.stage)
        points = [sheet.at(scene, point) for axis in scene.axes for point in axis.path_mm]
        assert all(Box(*at, *at).within(sheet.stage) for at in points)


def test_the_ball_is_not_lost_in_the_frame(laid: list[tuple[Scene, Sheet]]) -> None:
    for scene, sheet in laid:
        if max(sheet.size) < 3 * min(sheet.size):
            found = bodies(scene, sheet)
            assert max(found.width, found.height) > 0.25 * min(sheet.size)


def test_the_scale_bar_is_true() -> None:
    """An inch of the bar is 25.4 mm of the ball."""
    sheet = lay_out(plain_scene(), (1920, 1080))
    assert sheet.scale.px_per_in == pytest.approx(25.4 * sheet.px_per_mm)
    assert 1 <= sheet.scale.inches <= 4


def test_a_size_without_room_is_refused() -> None:
    with pytest.raises(OutputError, match="no room in 80 x 60 px"):
        lay_out(plain_scene(), (80, 60))
