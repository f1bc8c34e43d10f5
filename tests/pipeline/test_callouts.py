"""Labels: in the stage, none on another, and none at all when there is no room."""

from __future__ import annotations

from itertools import combinations

import pytest

from pipeline.callouts import callouts, places
from pipeline.sheet import Box, Callout
from tests.pipeline.plain_scene import plain_scene

SCENE = plain_scene()
STAGE = Box(0.0, 0.0, 800.0, 600.0)
CENTRE, PX_PER_MM, EM = (400.0, 300.0), 1.9, 20.0


@pytest.fixture(scope="module")
def placed() -> tuple[Callout, ...]:
    boxes = places([SCENE], STAGE, CENTRE, PX_PER_MM, EM)
    assert boxes is not None
    return callouts(SCENE, boxes, CENTRE, PX_PER_MM, EM)


def test_every_label_is_there_with_all_its_lines(placed: tuple[Callout, ...]) -> None:
    assert [tuple(w.text for w in c.words) for c in placed] == [x.lines for x in SCENE.labels]


def test_labels_lie_in_the_stage(placed: tuple[Callout, ...]) -> None:
    assert all(callout.box.within(STAGE) for callout in placed)


def test_no_label_lies_on_another(placed: tuple[Callout, ...]) -> None:
    assert not any(a.box.overlaps(b.box) for a, b in combinations(placed, 2))


def test_words_keep_to_their_box(placed: tuple[Callout, ...]) -> None:
    for callout in placed:
        for words in callout.words:
            assert callout.box.left <= words.box.left
            assert words.box.right <= callout.box.right


def test_a_leader_runs_from_the_point_to_the_box(placed: tuple[Callout, ...]) -> None:
    start, end = placed[0].leader
    assert start == pytest.approx((400.0, 300.0 - 120.0 * PX_PER_MM))
    assert Box(*end, *end).within(placed[0].box)


def test_without_room_there_are_none() -> None:
    assert places([SCENE], Box(0.0, 0.0, 60.0, 40.0), (30.0, 20.0), 0.2, EM) is None
