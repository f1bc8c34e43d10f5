"""Looks: the same picture in other colours and another light, by name."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray

from pipeline.arrange import WHOLE_PAGE
from pipeline.errors import OutputError
from pipeline.looks import LOOKS, SHORE, look_named
from pipeline.paint import ground_of, layers_of, paint
from pipeline.palette import HIGH_AXIS, INTERMEDIATE_AXIS, LOW_AXIS, rgb
from pipeline.scene import FAINT, INK, Camera
from tests.pipeline.plain_scene import FLAT, plain_scene
from tests.pipeline.shots import Taken, album, bodies, globe

NAMES = ["shore", "dusk", "ink"]
PAIRS = list(combinations(NAMES, 2))


@pytest.fixture(scope="module")
def taken() -> Iterator[dict[str, Taken]]:
    """One scene with all that is written beside it, in each look."""
    scene = replace(plain_scene(), surfaces=(globe(60.0),), floor_mm=-60.0)
    scene = replace(scene, camera=replace(scene.camera, elevation_deg=21.0))
    with album() as pictures:
        yield {name: pictures.take(scene, look=LOOKS[name], page=WHOLE_PAGE) for name in NAMES}


@pytest.fixture(scope="module")
def layers(taken: dict[str, Taken]) -> dict[str, dict[str, NDArray[np.int64]]]:
    return {
        look: {
            name: np.asarray(layer).astype(np.int64)
            for name, layer in layers_of(one.scene, one.sheet, one.shot, LOOKS[look]).items()
        }
        for look, one in taken.items()
    }


def painted(one: Taken, look: str) -> NDArray[np.int64]:
    image = paint(one.scene, one.sheet, one.shot, LOOKS[look])
    return np.asarray(image).astype(np.int64)


def test_the_looks_have_these_names() -> None:
    assert list(LOOKS) == NAMES


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_each_look_gives_another_picture(taken: dict[str, Taken], one: str, other: str) -> None:
    """Most of its pixels differ, and by more than a level."""
    apart = np.abs(painted(taken[one], one) - painted(taken[other], other)).max(axis=-1)
    assert (apart > 1).mean() > 0.5


@pytest.mark.parametrize("layer", ["labels", "card"])
@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_words_stand_where_they_stood(
    layers: dict[str, dict[str, NDArray[np.int64]]], layer: str, one: str, other: str
) -> None:
    """What the looks' layers cover is the same; only its colours differ."""
    covered = [layers[look][layer][..., 3] for look in (one, other)]
    assert np.array_equal(*covered)


@pytest.mark.parametrize("look", ["shore", "dusk"])
def test_bodies_stand_where_they_stood(taken: dict[str, Taken], look: str) -> None:
    """Lines run along an outline and so a pixel out of it; else it is the same."""
    lit, drawn = (taken[name].shot.ball[..., 3] > 127 for name in (look, "ink"))
    assert (lit & ~drawn).sum() == 0


@pytest.mark.parametrize("look", NAMES)
def test_the_paper_is_the_look_s_own(
    layers: dict[str, dict[str, NDArray[np.int64]]], look: str
) -> None:
    """In the upper corners, clear of the shadow, it has the colour of its edge; to a level."""
    corners = layers[look]["ground"][0][[0, -1], :3]
    due = np.array(rgb(LOOKS[look].paper_edge)) * 255.0
    assert np.abs(corners - due).max() <= 1.0


@pytest.mark.parametrize(("look", "shaded"), [("shore", True), ("dusk", True), ("ink", False)])
def test_drawings_have_no_shadow(taken: dict[str, Taken], look: str, shaded: bool) -> None:
    """The ground with a floor and without one."""
    one = taken[look]
    bare = ground_of(replace(one.scene, floor_mm=None), one.sheet, LOOKS[look])
    ground = ground_of(one.scene, one.sheet, LOOKS[look])
    assert (np.asarray(bare) != np.asarray(ground)).any() == shaded


@pytest.mark.parametrize("look", NAMES)
def test_axes_have_the_look_s_colours(taken: dict[str, Taken], look: str) -> None:
    """Ten pixels and more, such as a head has, are wholly of it; bars are drawn without light."""
    over = taken[look].shot.over.astype(int)
    for axis in taken[look].scene.axes:
        due = np.rint(np.array(rgb(LOOKS[look].ink(axis.colour))) * 255.0)
        near = (np.abs(over[..., :3] - due).max(axis=-1) <= 1) & (over[..., 3] == 255)
        assert near.sum() > 10, axis.name


def test_daylight_has_the_colours_as_they_are() -> None:
    colours = (INK, FAINT, LOW_AXIS, INTERMEDIATE_AXIS, HIGH_AXIS)
    assert [SHORE.ink(colour) for colour in colours] == list(colours)


def test_on_a_dark_ground_every_ink_is_lighter() -> None:
    """Lighter than its paper, too, by the sum of red, green and blue."""
    dusk = LOOKS["dusk"]
    for colour in (INK, FAINT, LOW_AXIS, INTERMEDIATE_AXIS, HIGH_AXIS):
        assert sum(rgb(dusk.ink(colour))) > max(sum(rgb(colour)), sum(rgb(dusk.paper)))


@pytest.mark.parametrize("name", NAMES)
def test_a_look_is_known_by_its_name(name: str) -> None:
    assert look_named(name).name == name


@pytest.mark.parametrize("name", ["", "Shore", "night"])
def test_an_unknown_look_is_refused_with_the_names_of_the_others(name: str) -> None:
    with pytest.raises(OutputError, match=f"no look '{name}'; the looks are shore, dusk, ink"):
        look_named(name)


@pytest.mark.parametrize("look", NAMES)
def test_a_black_body_is_drawn(look: str) -> None:
    """A matt cut face takes no light from any lamp when it is black, and is there all the same."""
    black = replace(FLAT, colour="#000000")
    with album() as pictures:
        found = pictures.take(bodies(Camera(0.0, 0.0), black), look=LOOKS[look])
    assert found.shot.ball[..., 3].max() == 255
