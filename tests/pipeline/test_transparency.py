"""Pictures without a background, and layers: clear where nothing is, full where the ball is."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from pipeline.arrange import WHOLE_PAGE, Page
from pipeline.looks import LOOKS
from pipeline.paint import layers_of, paint
from pipeline.picture import Style, drawn, scene_layers
from pipeline.scene import Dimension, Mark, Scene
from tests.pipeline.plain_scene import plain_scene
from tests.pipeline.shots import BARE, SIZE, Taken, album, globe

RADIUS_MM = 60.0
STYLE = Style(SIZE, transparent=True)
ORDER = ["ground", "ball", "axes", "labels", "card"]


def scene() -> Scene:
    """A sphere, seen a little from above, on a floor, with all that is written beside it."""
    plain = plain_scene()
    return replace(
        plain,
        surfaces=(globe(RADIUS_MM),),
        camera=replace(plain.camera, elevation_deg=21.0),
        marks=(*plain.marks, Mark("pin", np.array([0.0, 0.0, 100.0]), False)),
        reach_mm=100.0,
        floor_mm=-RADIUS_MM,
    )


@pytest.fixture(scope="module")
def clear() -> NDArray[np.uint8]:
    """The public picture without a background, of nothing but the bodies."""
    bare = replace(scene(), axes=(), marks=())
    return np.asarray(Image.open(io.BytesIO(drawn(bare, replace(STYLE, page=BARE)))))


@pytest.fixture(scope="module")
def layers() -> dict[str, Image.Image]:
    return scene_layers(scene(), replace(STYLE, transparent=False))


@pytest.fixture(scope="module", params=["shore", "dusk", "ink"])
def taken(request: pytest.FixtureRequest) -> Iterator[tuple[str, Taken]]:
    with album() as pictures:
        look = LOOKS[request.param]
        yield str(request.param), pictures.take(scene(), look=look, page=WHOLE_PAGE)


@pytest.fixture(scope="module")
def sheet() -> Taken:
    """Where the layers' things stand; of the rendered bodies only their places are used."""
    with album() as pictures:
        return pictures.take(scene(), page=WHOLE_PAGE)


def alpha(image: Image.Image) -> NDArray[np.uint8]:
    return np.asarray(image.getchannel("A"))


def away_mm(taken: Taken, shape: tuple[int, ...]) -> NDArray[np.float64]:
    """How far each pixel's middle lies from the ball's centre, over a whole picture."""
    y, x = np.mgrid[: shape[0], : shape[1]] + 0.5
    left, top = taken.sheet.origin
    return np.asarray(np.hypot(x - left, y - top) / taken.sheet.px_per_mm)


def test_a_picture_without_background_is_clear_outside_the_ball(
    clear: NDArray[np.uint8],
) -> None:
    """The sphere has its outline in the middle; a pixel beyond it there is nothing at all."""
    found = clear[..., 3]
    rows, columns = np.nonzero(found)
    middle = (rows.min() + rows.max()) / 2.0, (columns.min() + columns.max()) / 2.0
    radius = (np.ptp(rows) + 1) / 2.0
    y, x = np.mgrid[: found.shape[0], : found.shape[1]]
    beyond = np.hypot(y - middle[0], x - middle[1]) > radius + 1.0
    assert found[beyond].max() == 0


def test_a_picture_without_background_is_full_inside_the_ball(clear: NDArray[np.uint8]) -> None:
    found = clear[..., 3]
    rows, columns = np.nonzero(found)
    middle = (rows.min() + rows.max()) / 2.0, (columns.min() + columns.max()) / 2.0
    radius = (np.ptp(rows) + 1) / 2.0
    y, x = np.mgrid[: found.shape[0], : found.shape[1]]
    within = np.hypot(y - middle[0], x - middle[1]) < radius - 1.5
    assert found[within].min() == 255


def test_clear_pixels_have_no_colour_of_a_background(clear: NDArray[np.uint8]) -> None:
    """Of the rim, mixed with nothing: no darker or lighter than the ball near it by a half."""
    rim = clear[(clear[..., 3] > 60) & (clear[..., 3] < 255)]
    full = clear[clear[..., 3] == 255]
    low, high = full[:, 0].min() * 0.5, full[:, 0].max() * 1.5
    assert ((rim[:, 0] >= low) & (rim[:, 0] <= high)).all()


def test_there_is_a_layer_for_each_thing(layers: dict[str, Image.Image]) -> None:
    assert list(layers) == ORDER


def test_without_background_there_is_no_ground() -> None:
    assert list(scene_layers(scene(), STYLE)) == ORDER[1:]


def test_layers_have_the_picture_s_size(layers: dict[str, Image.Image]) -> None:
    assert {(layer.mode, layer.size) for layer in layers.values()} == {("RGBA", SIZE)}


def test_the_ground_is_full(layers: dict[str, Image.Image]) -> None:
    assert alpha(layers["ground"]).min() == 255


def test_the_ball_s_layer_is_full_inside_it(layers: dict[str, Image.Image], sheet: Taken) -> None:
    found = alpha(layers["ball"])
    within = away_mm(sheet, found.shape) < RADIUS_MM - 1.5 / sheet.sheet.px_per_mm
    assert found[within].min() == 255


def test_the_ball_s_layer_is_clear_outside_it(layers: dict[str, Image.Image], sheet: Taken) -> None:
    found = alpha(layers["ball"])
    beyond = away_mm(sheet, found.shape) > RADIUS_MM + 1.5 / sheet.sheet.px_per_mm
    assert found[beyond].max() == 0


def test_the_axes_layer_is_clear_where_the_ball_hides_them(
    layers: dict[str, Image.Image], sheet: Taken
) -> None:
    """Both axes leave the sphere upwards and to the right; within its lower left they are not."""
    found = alpha(layers["axes"])
    y, x = np.mgrid[: found.shape[0], : found.shape[1]]
    left, top = sheet.sheet.origin
    aside = 6.0 * sheet.sheet.px_per_mm  # an arrow's head is 3 mm thick
    assert found[(x < left - aside) & (y > top + aside)].max() == 0


@pytest.mark.parametrize("name", ["labels", "card"])
def test_words_are_clear_where_the_other_s_are(
    layers: dict[str, Image.Image], sheet: Taken, name: str
) -> None:
    """The card stands beside the stage, labels on it; letters may reach a pixel out."""
    stage = sheet.sheet.stage
    found = alpha(layers[name])
    on_stage = np.zeros(found.shape, dtype=bool)
    on_stage[int(stage.top) : int(stage.bottom), int(stage.left) + 1 : int(stage.right)] = True
    assert found[on_stage if name == "card" else ~on_stage].max() == 0


@pytest.mark.parametrize("transparent", [False, True])
def test_layers_over_one_another_are_the_picture(
    taken: tuple[str, Taken], transparent: bool
) -> None:
    look, one = LOOKS[taken[0]], taken[1]
    layers = layers_of(one.scene, one.sheet, one.shot, look, ground=not transparent)
    image = Image.new("RGBA", one.sheet.size)
    for layer in layers.values():
        image = Image.alpha_composite(image, layer)
    due = paint(one.scene, one.sheet, one.shot, look, transparent=transparent).convert("RGBA")
    assert np.array_equal(np.asarray(image), np.asarray(due))


def test_the_public_layers_over_one_another_are_the_public_picture(
    layers: dict[str, Image.Image],
) -> None:
    """Rendered twice, by two renderers."""
    image = Image.new("RGBA", SIZE)
    for layer in layers.values():
        image = Image.alpha_composite(image, layer)
    due = Image.open(io.BytesIO(drawn(scene(), Style(SIZE))))
    assert np.array_equal(np.asarray(image.convert("RGB")), np.asarray(due))


WIDTH = Dimension(
    np.array([0.0, -60.0, 0.0]), np.array([0.0, 60.0, 0.0]),
    np.array([[0.0, -60.0, -70.0], [0.0, 60.0, -70.0]]), "4.724 in",
)  # fmt: skip


@pytest.mark.parametrize(
    "left", [{"marks": scene().marks}, {"dimensions": (WIDTH,)}], ids=["marks", "dimensions"]
)
def test_a_page_without_labels_has_nothing_on_their_layer(left: dict[str, Any]) -> None:
    """Page says: words at points of the ball, and dimensions; and a mark without words is none."""
    bare = replace(scene(), **{"labels": (), "marks": (), "dimensions": (), **left})
    found = scene_layers(bare, replace(STYLE, page=Page(labels=False)))
    assert alpha(found["labels"]).max() == 0
