"""The faces of a section as they are drawn: where each part lies, hatched, on the right side."""

from __future__ import annotations

import numpy as np
import pytest

from shapes.moments import Array
from shapes.turned import Turned
from tests.browser.colours import Mask, along, clay, ground, levels, tide
from tests.browser.conftest import Opener
from tests.browser.designs import design_of
from tests.browser.shown import Pixels, Shown

IN = 25.4
OUTER_MM, COVER_MM = 7.05 * IN / 2.0, 8.55 * IN / 2.0
CLEAR_MM = 1.5  # how far from an outline a pixel must lie to be of one part for sure


@pytest.fixture
def dunlin(opened: Opener) -> Shown:
    """Cut square to X through the middle and seen from there."""
    shown = opened("dunlin")
    shown.alone()
    shown.press("Right")
    shown.cut("square to X", 0)
    return shown


def places(shown: Shown) -> tuple[Array, Array]:
    """Distance from the axis and height of every pixel's middle, mm, in the plane of the cut."""
    camera = shown.camera
    width, height = (int(n) for n in camera.size_px)
    x, y = np.meshgrid(np.arange(width) + 0.5, np.arange(height) + 0.5)
    across = camera.middle_mm[0] + (x - camera.size_px[0] / 2.0) * camera.mm_per_px
    upward = camera.middle_mm[1] - (y - camera.size_px[1] / 2.0) * camera.mm_per_px
    return np.asarray(across), np.asarray(upward)


def within_core(r: Array, z: Array) -> Mask:
    shape = design_of("dunlin").parts[0].shape
    assert isinstance(shape, Turned)
    return np.asarray(shape.section().contains(np.abs(r), z - 0.4 * IN))  # it was moved up


def due(shown: Shown) -> dict[str, Mask]:
    """The pixels that are of each part for sure, by the exact shapes."""
    r, z = places(shown)
    away = np.hypot(r, z)
    core, near = np.zeros((2, *r.shape), dtype=bool)
    here = away < OUTER_MM  # the core reaches no farther
    turns = np.linspace(0.0, 2.0 * np.pi, 12, endpoint=False)
    tried = [
        within_core(r[here] + CLEAR_MM * np.cos(a), z[here] + CLEAR_MM * np.sin(a)) for a in turns
    ]
    core[here], near[here] = np.logical_and.reduce(tried), np.logical_or.reduce(tried)
    return {
        "inner core": core,
        "outer core": ~near & (away < OUTER_MM - CLEAR_MM),
        "cover": (away > OUTER_MM + CLEAR_MM) & (away < COVER_MM - CLEAR_MM),
        "nothing": away > COVER_MM + CLEAR_MM,
    }


def test_every_part_is_drawn_where_it_lies(dunlin: Shown) -> None:
    """In its own colour, lightened or darkened by the strokes, at every pixel that is its own."""
    picture, own = dunlin.picture(), due(dunlin)
    assert ground(picture)[own["nothing"]].all()
    assert clay(picture)[own["inner core"]].all()
    assert tide(picture)[own["cover"]].all()
    outer = picture[own["outer core"]]
    assert not clay(outer).any()
    assert not tide(outer).any()
    assert own["outer core"].sum() > 5000


def test_faces_are_flat_and_have_two_tones(dunlin: Shown) -> None:
    """The part's colour, lightened, and strokes of another lightness; no light falls on it."""
    picture, own = dunlin.picture(), due(dunlin)
    for part in dunlin.scene["parts"]:
        pixels = picture[own[part["name"]]].astype(float)
        grey = pixels.mean(axis=1)
        low, high = np.percentile(grey, [2, 98])
        assert high - low > 18.0, part["name"]
        colours, counts = np.unique(pixels, axis=0, return_counts=True)
        tint = colours[counts.argmax()]
        strokes = pixels[np.abs(grey - tint.mean()).argmax()]
        off = [along(pixel, tint, strokes) for pixel in pixels[::7]]
        assert max(aside for _, aside in off) < 4.0, part["name"]
        assert counts.max() > 0.4 * len(pixels), part["name"]  # between the strokes it is plain
        plain = levels(part["colour"])
        assert float(np.abs(tint - plain).max()) < 30.0, part["name"]


def lean(picture: Pixels, own: Mask) -> float:
    """Which way strokes lean: the sum of products of the slopes of grey along x and y."""
    grey = picture.mean(axis=-1)
    down, across = np.gradient(grey)
    inside = own.copy()
    for axis in (0, 1):
        for by in (-1, 1):
            inside &= np.roll(own, by, axis)
    slopes = (down * across)[inside].sum() / (down**2 + across**2)[inside].sum()
    return float(2.0 * slopes)


def test_the_strokes_of_neighbours_lean_opposite_ways(dunlin: Shown) -> None:
    """So that greys and colour-blind readers tell them apart; at 45 degrees, so 1 or -1."""
    picture, own = dunlin.picture(), due(dunlin)
    leans = [lean(picture, own[part["name"]]) for part in dunlin.scene["parts"]]
    assert min(abs(one) for one in leans) > 0.8
    assert np.sign(leans[0]) == -np.sign(leans[1]) == np.sign(leans[2])


def spacing_mm(shown: Shown, name: str) -> float:
    """From stroke to stroke on a part's face, by the strongest wave along a diagonal."""
    picture, own = shown.picture(), due(shown)[name]
    way = 1 if lean(picture, own) > 0.0 else -1
    y, x = np.nonzero(own)
    diagonal = x + way * y
    diagonal -= diagonal.min()
    counts = np.bincount(diagonal)
    means = np.bincount(diagonal, picture.mean(axis=-1)[own])[counts > 20] / counts[counts > 20]
    waves = np.abs(np.fft.rfft(means - means.mean(), 8192))
    pixels = 1.0 / np.fft.rfftfreq(8192)[100 + waves[100:].argmax()]
    return float(pixels * shown.camera.mm_per_px / np.sqrt(2.0))


def test_strokes_are_as_far_apart_on_the_part_however_near_one_looks(dunlin: Shown) -> None:
    far = spacing_mm(dunlin, "inner core")
    dunlin.press("Closer")
    dunlin.press("Closer")
    near = spacing_mm(dunlin, "inner core")
    assert 2.0 < far < 8.0
    assert near == pytest.approx(far, rel=0.03)


def test_swapping_sides_leaves_the_other_half(dunlin: Shown) -> None:
    removed = dunlin.told("section")["removed"]
    faces = dunlin.faces
    assert clay(dunlin.picture()).any()
    dunlin.press("Swap sides")
    assert dunlin.told("section")["removed"] == -removed
    assert dunlin.faces == faces
    assert not clay(dunlin.picture()).any()  # the half before the plane hides the face
    dunlin.press("Left")
    assert clay(dunlin.picture()).any()


@pytest.mark.parametrize("side", ["Front", "Right", "Back", "Left", "Below"])
def test_a_plane_that_is_chosen_is_cut_towards_the_viewer(dunlin: Shown, side: str) -> None:
    """The face is seen at once, whichever side one looks from."""
    dunlin.cut("none")
    dunlin.press(side)
    axis = {"Front": "Y", "Back": "Y", "Right": "X", "Left": "X"}.get(side, "Z")
    dunlin.cut(f"square to {axis}")
    assert clay(dunlin.picture()).sum() > 2000


def test_the_face_moves_along_with_the_position(dunlin: Shown) -> None:
    """From the side the half ball ends where the plane is."""
    dunlin.press("Front")
    camera = dunlin.camera
    for position in (-2.0, 0.0, 1.5):
        dunlin.slide("Position", position)
        columns = np.flatnonzero((~ground(dunlin.picture())).any(axis=0))
        edges = [camera.seen([x, 0, 0])[0] for x in (-COVER_MM, position * IN)]
        assert [columns[0], columns[-1] + 1] == pytest.approx(edges, abs=2.0)
