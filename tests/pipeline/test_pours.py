"""Swirls: other colours in one part, fixed to it, the same every time, and without a seam."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from pipeline.looks import LOOKS
from pipeline.pours import ROUGHNESS, fragment
from pipeline.scene import Camera, Pose, Pour, PourKind, Scene, Surface, frame_of
from tests.pipeline.shots import Album, Taken, album, bodies, globe, toward

RED, BLUE = "#B03020", "#2040B0"
RADIUS_MM = 108.0
SIZE = (480, 480)
FRONT = Camera(0.0, 0.0)


@pytest.fixture(scope="module")
def pictures() -> Iterator[Album]:
    with album() as opened:
        yield opened


@pytest.fixture(scope="module")
def scenes() -> dict[str, Scene]:
    """A ball of each pour, and of one with other swirls."""
    return {
        "solid": poured("solid"),
        "pearl": poured("pearl"),
        "hybrid": poured("hybrid"),
        "other hybrid": poured("hybrid", seed=8),
        "other pearl": poured("pearl", seed=8),
    }


def poured(kind: PourKind, seed: int = 7, camera: Camera = FRONT) -> Scene:
    return bodies(camera, globe(RADIUS_MM, RED, Pour(kind, BLUE, seed)))


def within(taken: Taken, share: float = 0.9) -> NDArray[np.bool_]:
    """Pixels well within the outline."""
    right, up = taken.middles_mm()
    return np.asarray(np.hypot(right, up) < share * RADIUS_MM)


def second(taken: Taken) -> NDArray[np.bool_]:
    """Where the second colour shows: where there is more blue than red, however it is lit."""
    return np.asarray(taken.colours[..., 2] > taken.colours[..., 0])


def share_of_second(taken: Taken) -> float:
    return float(second(taken)[within(taken)].mean())


@pytest.mark.parametrize(
    ("one", "other"), [("solid", "pearl"), ("solid", "hybrid"), ("pearl", "hybrid")]
)
def test_each_pour_looks_another_way(
    pictures: Album, scenes: dict[str, Scene], one: str, other: str
) -> None:
    """A quarter of the ball and more differs by more than light could make of it."""
    first, last = (pictures.take(scenes[name], SIZE) for name in (one, other))
    apart = np.abs(first.colours - last.colours).max(axis=-1)[within(first)]
    assert (apart > 20).mean() > 0.25


@pytest.mark.parametrize("kind", ["pearl", "hybrid"])
def test_the_same_seed_gives_the_same_pixels(pictures: Album, kind: PourKind) -> None:
    """The meshes are made anew, so nothing of the first picture is used again."""
    first, last = (pictures.take(poured(kind), SIZE) for _ in range(2))
    assert np.array_equal(first.shot.ball, last.shot.ball)


@pytest.mark.parametrize("kind", ["pearl", "hybrid"])
def test_another_seed_gives_other_swirls(
    pictures: Album, scenes: dict[str, Scene], kind: str
) -> None:
    """Two unlike patterns differ over an eighth of the ball and more."""
    first, last = (pictures.take(scenes[name], SIZE) for name in (kind, f"other {kind}"))
    apart = np.abs(first.colours - last.colours).max(axis=-1)[within(first)]
    assert (apart > 20).mean() > 0.125


def test_a_solid_pour_shows_nothing_of_the_second_colour(
    pictures: Album, scenes: dict[str, Scene]
) -> None:
    assert share_of_second(pictures.take(scenes["solid"], SIZE)) == 0.0


def test_both_colours_of_a_hybrid_show(pictures: Album, scenes: dict[str, Scene]) -> None:
    """Part solid, part pearl: each has a quarter of the ball and more."""
    assert 0.25 < share_of_second(pictures.take(scenes["hybrid"], SIZE)) < 0.75


@pytest.mark.parametrize("mostly", [RED, BLUE])
def test_the_colours_of_a_hybrid_are_those_asked_for(
    pictures: Album, scenes: dict[str, Scene], mostly: str
) -> None:
    """Seen where a ball that is all of that colour has its own, to two levels: the same light."""
    swirled = pictures.take(scenes["hybrid"], SIZE)
    # the finish is the hybrid's own, so that only the colour can differ
    alone = pictures.take(bodies(FRONT, globe(RADIUS_MM, mostly, Pour("hybrid", mostly, 7))), SIZE)
    same = np.abs(swirled.colours - alone.colours).max(axis=-1)[within(swirled)] <= 2
    assert same.mean() > 0.2


def test_a_pearl_is_of_its_first_colour_in_most_places(
    pictures: Album, scenes: dict[str, Scene]
) -> None:
    assert share_of_second(pictures.take(scenes["pearl"], SIZE)) < 0.5


@pytest.mark.parametrize("kind", ["pearl", "hybrid"])
@pytest.mark.parametrize("azimuth", [0.0, 90.0])
def test_opposite_sides_are_alike(pictures: Album, kind: PourKind, azimuth: float) -> None:
    """How much of the second colour shows, and how often it changes along a row.

    Swirls are as broad as a third of the ball, so that a view holds about ten; shares of such
    counts scatter by a sixth, and two differ by a quarter of the ball at most.
    """
    sides = [
        pictures.take(poured(kind, camera=Camera(azimuth + turn, 0.0)), SIZE)
        for turn in (0.0, 180.0)
    ]
    shares = [share_of_second(side) for side in sides]
    assert abs(shares[0] - shares[1]) < 0.25


@pytest.mark.parametrize("kind", ["pearl", "hybrid"])
def test_there_is_no_seam_where_the_mesh_closes(pictures: Album, kind: PourKind) -> None:
    """The mesh begins and ends at azimuth 0, which is the middle column of a view from there.

    The change from column to column there is no more than twice the usual one: the greatest of
    all others is as large.
    """
    taken = pictures.take(poured(kind), SIZE)
    columns = taken.colours[SIZE[1] // 4 : 3 * SIZE[1] // 4].astype(float)
    change = np.abs(np.diff(columns, axis=1)).max(axis=-1).mean(axis=0)
    _, (middle,) = taken.pixel_of(RADIUS_MM * toward(0.0, 0.0)[None])
    seam = change[middle - 2 : middle + 2].max()
    elsewhere = np.concatenate([change[middle - 60 : middle - 4], change[middle + 4 : middle + 60]])
    assert seam <= elsewhere.max()


@pytest.mark.parametrize("camera", [Camera(35.0, 0.0), Camera(-20.0, 25.0)])
def test_swirls_are_fixed_to_the_ball(pictures: Album, camera: Camera) -> None:
    """A place seen from two cameras has the same of the two colours.

    One in forty may not: places on the edge of a swirl, whose pixels are mixed in each view in
    another way.
    """
    first = pictures.take(poured("hybrid"), SIZE)
    last = pictures.take(poured("hybrid", camera=camera), SIZE)
    lots = np.random.default_rng(5).normal(size=(6000, 3))
    places = RADIUS_MM * lots / np.linalg.norm(lots, axis=1)[:, None]
    seen = np.ones(len(places), dtype=bool)
    for one in (first, last):
        seen &= places @ one.scene.camera.axes()[2] > 0.5 * RADIUS_MM
    assert seen.sum() > 500
    colours = [second(one)[one.pixel_of(places[seen])] for one in (first, last)]
    assert (colours[0] != colours[1]).mean() < 1.0 / 40.0


def test_swirls_stand_still_when_the_camera_turns_with_the_body(
    pictures: Album, scenes: dict[str, Scene]
) -> None:
    """A body turned by its pose, seen from where the camera turned with it, is the same picture.

    One pixel in two hundred may differ by more than a few levels, where rounding decides.
    """
    turn = np.radians(30.0)
    frame = frame_of(
        np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
    )
    scene = scenes["hybrid"]
    posed = tuple(replace(s, pose=Pose(frame=frame)) for s in scene.surfaces)
    turned = replace(scene, surfaces=posed, camera=Camera(30.0, 0.0))
    first, last = (pictures.take(one, SIZE) for one in (scene, turned))
    apart = np.abs(first.colours - last.colours).max(axis=-1)
    assert (apart > 6).mean() < 1.0 / 200.0


def test_swirls_do_not_move_with_a_body_that_is_shifted(
    pictures: Album, scenes: dict[str, Scene]
) -> None:
    """It keeps its own: shifted along the sightline it is the same picture."""
    scene = scenes["hybrid"]
    posed = tuple(replace(s, pose=Pose((-20.0, 0.0, 0.0))) for s in scene.surfaces)
    shifted = replace(scene, surfaces=posed)
    first, last = (pictures.take(one, SIZE) for one in (scene, shifted))
    apart = np.abs(first.colours - last.colours).max(axis=-1)
    assert (apart > 6).mean() < 1.0 / 200.0


def square(side: float) -> Surface:
    """Through the ball's centre, seen from +X or from -X, as a cut face."""
    ends = np.array([[0.0, -1, -1], [0, 1, -1], [0, 1, 1], [0, -1, 1]])
    triangles = np.array([[0, 1, 2], [0, 2, 3]])
    return Surface(
        RADIUS_MM * ends, np.tile([side, 0.0, 0.0], (4, 1)),
        triangles if side > 0.0 else triangles[:, ::-1], RED, "cut", 0, "core",
        pour=Pour("hybrid", BLUE, 7),
    )  # fmt: skip


def test_swirls_go_right_through(pictures: Album) -> None:
    """A plane seen from one side has the swirls that it has from the other, left for right.

    One pixel in a hundred may differ, on the edges of swirls.
    """
    front, back = (
        second(pictures.take(bodies(Camera(azimuth, 0.0), square(side)), SIZE))
        for azimuth, side in ((0.0, 1.0), (180.0, -1.0))
    )
    assert (front != back[:, ::-1]).mean() < 0.01


def test_line_work_has_flat_tints_and_no_swirls(pictures: Album, scenes: dict[str, Scene]) -> None:
    first, last = (pictures.take(scenes[name], SIZE, LOOKS["ink"]) for name in ("solid", "hybrid"))
    assert np.array_equal(first.shot.ball, last.shot.ball)


def test_a_second_colour_goes_into_the_program_as_linear_light() -> None:
    """White and black stay what they are, whatever the curve."""
    texts = [" ".join(after for _, after in fragment(Pour("pearl", c, 1))) for c in
             ("#FFFFFF", "#000000")]  # fmt: skip
    assert "vec3(1.000000, 1.000000, 1.000000)" in texts[0]
    assert "vec3(0.000000, 0.000000, 0.000000)" in texts[1]


def test_every_pour_has_a_shine_of_its_own() -> None:
    assert len({ROUGHNESS[kind] for kind in ("solid", "pearl", "hybrid")}) == 3
