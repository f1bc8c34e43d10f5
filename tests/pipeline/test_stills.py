"""Stills where they were asked for, whole or not at all, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from pipeline.arrange import Page
from pipeline.caption import caption_of
from pipeline.errors import OutputError
from pipeline.folder import MANIFEST
from pipeline.listing import list_files
from pipeline.looks import DUSK
from pipeline.picture import PLAIN_STYLE, Style, draw_view, scene_by
from pipeline.polar_map import MAPS
from pipeline.stills import write_still_to
from pipeline.wish import AS_IT_SUITS, Wish
from tests.pipeline.filmed import brick, drilled

SIZE = (480, 360)
STYLE = Style(SIZE)
LAYERS = ["ground", "ball", "axes", "labels", "card"]


@pytest.fixture(scope="module")
def told() -> list[Path]:
    return []


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory, told: list[Path]) -> Path:
    """A folder with a still and its caption, and another with its layers and theirs."""
    place = tmp_path_factory.mktemp("stills")
    told += write_still_to(place / "core.png", brick(), "core", STYLE, AS_IT_SUITS, words=True)
    write_still_to(place / "layers", brick(), "core", STYLE, AS_IT_SUITS, layers=True, words=True)
    return place


def test_a_png_is_the_view_drawn(written: Path) -> None:
    assert (written / "core.png").read_bytes() == draw_view(brick(), "core", STYLE)


def test_a_caption_stands_beside_it(written: Path) -> None:
    said = (written / "core.txt").read_text(encoding="utf-8")
    assert said == caption_of(scene_by(brick(), "core"))


def test_layers_are_files_of_their_own(written: Path) -> None:
    found = {path.name for path in (written / "layers").iterdir()}
    assert found == {*(f"{name}.png" for name in LAYERS), "caption.txt", MANIFEST}


def test_layers_over_one_another_are_the_picture(written: Path) -> None:
    image = Image.new("RGBA", SIZE)
    for name in LAYERS:
        image.alpha_composite(Image.open(written / "layers" / f"{name}.png"))
    whole = np.array(Image.open(written / "core.png"))
    assert np.array_equal(np.array(image.convert("RGB")), whole)


def test_layers_are_listed_with_what_they_show(written: Path) -> None:
    listed = json.loads((written / "layers" / MANIFEST).read_text(encoding="utf-8"))
    names = {row["name"] for row in listed["files"]}
    assert (listed["made_by"], listed["view"], listed["design"]["name"], len(names)) == (
        "picture", "core", "Dunlin", 6,
    )  # fmt: skip


def test_layers_without_ground_where_there_is_no_background(tmp_path: Path) -> None:
    clear = Style(SIZE, transparent=True)
    write_still_to(tmp_path / "clear", brick(), "core", clear, AS_IT_SUITS, layers=True)
    assert not (tmp_path / "clear" / "ground.png").exists()


def test_layers_take_the_place_of_earlier_ones(tmp_path: Path) -> None:
    (tmp_path / "caption.txt").write_bytes(b"earlier")
    list_files(tmp_path, "picture", {})
    write_still_to(tmp_path, brick(), "core", STYLE, AS_IT_SUITS, layers=True)
    assert not (tmp_path / "caption.txt").exists()


def test_what_was_written_is_told(written: Path, told: list[Path]) -> None:
    assert told == [written / "core.png", written / "core.txt"]


@pytest.mark.parametrize("name", ["BODIES.GLB", "bodies.glb"])
def test_bodies_are_a_glb(tmp_path: Path, name: str) -> None:
    write_still_to(tmp_path / name, brick(), "core", PLAIN_STYLE, AS_IT_SUITS)
    assert (tmp_path / name).read_bytes()[:4] == b"glTF"


def test_bodies_have_a_caption_too(tmp_path: Path) -> None:
    write_still_to(tmp_path / "a.glb", brick(), "core", PLAIN_STYLE, AS_IT_SUITS, words=True)
    assert (tmp_path / "a.txt").is_file()


@pytest.mark.parametrize("view", MAPS)
def test_a_map_is_a_png_of_the_size_that_was_asked(tmp_path: Path, view: str) -> None:
    write_still_to(tmp_path / "map.png", drilled(), view, STYLE, AS_IT_SUITS)
    with Image.open(tmp_path / "map.png") as image:
        assert image.size == SIZE


# Refusals


@pytest.mark.parametrize("name", ["ball.jpg", "ball", "ball.png.bak", "ball.gltf", "ball.mp4"])
def test_another_ending_is_refused_with_those_there_are(tmp_path: Path, name: str) -> None:
    with pytest.raises(OutputError, match=r"ends in \.png or \.glb, or --layers for a folder"):
        write_still_to(tmp_path / name, brick(), "core", STYLE, AS_IT_SUITS)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("view", MAPS)
@pytest.mark.parametrize(
    ("name", "layers", "words"),
    [("map", True, False), ("map.png", True, False), ("map.png", False, True),
     ("map.glb", False, False)],
)  # fmt: skip
def test_a_map_is_a_png_and_no_more(
    tmp_path: Path, view: str, name: str, layers: bool, words: bool
) -> None:
    with pytest.raises(OutputError, match=f"'{view}' is a flat map: it is written as a PNG, no mo"):
        write_still_to(
            tmp_path / name, drilled(), view, STYLE, AS_IT_SUITS, layers=layers, words=words
        )
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "style",
    [STYLE, Style(look=DUSK), Style(transparent=True), Style(page=Page(labels=False))],
)
def test_bodies_have_no_style(tmp_path: Path, style: Style) -> None:
    """What a GLB file cannot hold is not left out in silence."""
    with pytest.raises(OutputError, match="no size in px, look, words or background"):
        write_still_to(tmp_path / "a.glb", brick(), "core", style, AS_IT_SUITS)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "style",
    [Style(SIZE, look=DUSK), Style(SIZE, transparent=True), Style(SIZE, page=Page(card=False)),
     Style(SIZE, page=Page(safe=True))],
)  # fmt: skip
def test_a_map_has_one_look(tmp_path: Path, style: Style) -> None:
    with pytest.raises(OutputError, match="flat map: it has one look"):
        write_still_to(tmp_path / "map.png", drilled(), "pin-map", style, AS_IT_SUITS)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("view", ["drilled", "bored", "taken", "rings", *MAPS])
def test_a_view_of_a_drilled_ball_needs_a_drilling(tmp_path: Path, view: str) -> None:
    with pytest.raises(OutputError, match=f"Dunlin is not drilled: the view '{view}' needs"):
        write_still_to(tmp_path / "a.png", brick(), view, STYLE, AS_IT_SUITS)


def test_a_view_that_there_is_not_is_refused_with_all_there_are(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=r"no view 'corr'; the views are cutaway.*axis-map"):
        write_still_to(tmp_path / "a.png", brick(), "corr", STYLE, AS_IT_SUITS)


def test_a_view_of_one_ball_shows_no_others(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="'core' shows one ball; those that show others"):
        write_still_to(tmp_path / "a.png", brick(), "core", STYLE, AS_IT_SUITS, [brick()])


def test_a_view_of_several_balls_needs_them(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="shows 2 to 6 balls, and 1 were given"):
        write_still_to(tmp_path / "a.png", brick(), "sizes", STYLE, AS_IT_SUITS)


def test_a_wish_that_the_view_does_not_heed_is_refused(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="'core' takes no --opening; what it takes: --from"):
        write_still_to(tmp_path / "a.png", brick(), "core", STYLE, Wish(opening_deg=90.0))


def test_a_folder_of_somebody_elses_files_is_left_as_it_was(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_bytes(b"mine")
    with pytest.raises(OutputError, match=r"files that are not ours, such as mine\.txt"):
        write_still_to(tmp_path, brick(), "core", STYLE, AS_IT_SUITS, layers=True)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_layers_do_not_take_the_place_of_a_file(tmp_path: Path) -> None:
    (tmp_path / "layers").write_bytes(b"mine")
    with pytest.raises(OutputError, match="is a file; give the path of a folder"):
        write_still_to(tmp_path / "layers", brick(), "core", STYLE, AS_IT_SUITS, layers=True)


def test_a_picture_does_not_take_the_place_of_a_folder(tmp_path: Path) -> None:
    (tmp_path / "a.png").mkdir()
    with pytest.raises(OutputError, match="is a folder; give the path of a file"):
        write_still_to(tmp_path / "a.png", brick(), "core", STYLE, AS_IT_SUITS)


def test_a_folder_that_is_not_there_is_not_made(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="there is no folder"):
        write_still_to(tmp_path / "no" / "a.png", brick(), "core", STYLE, AS_IT_SUITS)


def test_a_picture_that_cannot_be_leaves_the_earlier_one(tmp_path: Path) -> None:
    (tmp_path / "a.png").write_bytes(b"earlier")
    with pytest.raises(OutputError, match="from 360 to 8192"):
        write_still_to(tmp_path / "a.png", brick(), "core", Style((100, 100)), AS_IT_SUITS)
    assert (tmp_path / "a.png").read_bytes() == b"earlier"
