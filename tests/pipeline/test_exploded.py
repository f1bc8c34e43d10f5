"""A ball drawn apart: halves that add up to their part, in a row, and where they are cast at rest.

Volumes are those that the meshes enclose, by the divergence theorem.  They may be off by the sag of
the meshes, CHORD_MM, over all of the surface.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np
import pytest

from pipeline.ball import Ball, build_ball
from pipeline.exploded import Piece, apart, exploded, exploded_scene, pieces_of, shifts_of
from pipeline.load import load, read_design
from pipeline.scene import Scene, Surface
from pipeline.shells import CHORD_MM
from pipeline.shipped import shipped
from pipeline.staging import core_parts
from pipeline.weigh import weigh
from pipeline.wish import AS_IT_SUITS, Wish
from tests.pipeline.cut_balls import POKES, ball

BALLS = ("turnstone", "discs", "pokes", "plain")


@cache
def made(name: str) -> Ball:
    if name == "discs":  # let into a body's ends, as in the shipped Godwit, but quick to cut
        return ball(
            "name: upper disc, material: a, shape: cylinder, diameter: 2, height: 0.6, "
            "move: [0, 0, 2]",
            "name: lower disc, material: a, shape: cylinder, diameter: 2, height: 0.6, "
            "move: [0, 0, -2]",
            "name: inner core, material: a, shape: cylinder, diameter: 3.5, height: 5",
            "name: outer core, material: b, shape: sphere, diameter: 7",
        )
    if name == "pokes":
        return ball(*POKES)
    return ball() if name == "plain" else build_ball(load(shipped(name)))


@cache
def pieces(name: str) -> tuple[Piece, ...]:
    return pieces_of(made(name), hatched=name == "discs")


@cache
def scene(name: str) -> Scene:
    return exploded_scene(made(name), weigh(made(name)), pieces(name), 1.0, AS_IT_SUITS)


def corners(surface: Surface) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    a, b, c = (surface.points_mm[surface.triangles[:, k]] for k in range(3))
    return a, b, c


def solid(piece: Piece) -> list[Surface]:
    """Its surfaces but the strokes of hatching, which enclose nothing."""
    return [s for s in piece.surfaces if s.finish != "stroke"]


def volume(piece: Piece) -> float:
    return sum(
        float(np.einsum("ni,ni->", a, np.cross(b, c))) / 6.0
        for a, b, c in map(corners, solid(piece))
    )


def area(piece: Piece) -> float:
    return sum(
        float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()) / 2.0
        for a, b, c in map(corners, solid(piece))
    )


def of_part(name: str, part: int) -> list[Piece]:
    return [piece for piece in pieces(name) if piece.part == part]


@pytest.mark.parametrize("name", BALLS)
def test_the_core_stays_whole_and_what_is_poured_round_it_comes_in_halves(name: str) -> None:
    core = core_parts(made(name))
    counts = [len(of_part(name, k)) for k in range(len(made(name).parts))]
    assert counts == [1 if k in core else 2 for k in range(len(counts))]


@pytest.mark.parametrize("name", BALLS)
def test_the_pieces_of_a_part_have_its_volume(name: str) -> None:
    for k, part in enumerate(made(name).parts):
        mine = of_part(name, k)
        may = CHORD_MM * sum(map(area, mine))
        assert sum(map(volume, mine)) == pytest.approx(part.claimed.volume_mm3, abs=may), part.name


def test_a_cover_s_halves_are_alike() -> None:
    """Round a core in the middle each has half of it, to the sag."""
    cover = of_part("discs", 4)
    assert volume(cover[0]) == pytest.approx(volume(cover[1]), abs=CHORD_MM * area(cover[0]))


@pytest.mark.parametrize("name", BALLS)
def test_pieces_are_closed(name: str) -> None:
    """The areas of a closed mesh, as vectors, add up to nothing; to a millionth of its area."""
    for piece in pieces(name):
        total = sum(
            (np.cross(b - a, c - a).sum(axis=0) / 2.0 for a, b, c in map(corners, solid(piece))),
            np.zeros(3),
        )
        assert np.linalg.norm(total) <= 1e-6 * area(piece)


@pytest.mark.parametrize("name", BALLS)
def test_halves_lie_on_their_own_side(name: str) -> None:
    """Above or below the level of the ball's centre; strokes lie 0.02 mm in front of a face."""
    core = core_parts(made(name))
    for piece in pieces(name):
        if piece.part not in core:
            inner = piece.low_mm if piece.away > 0 else -piece.high_mm
            assert inner >= -0.021


def spans(name: str, share: float) -> list[tuple[float, float]]:
    """From where to where each piece reaches along the pin axis."""
    shifts = shifts_of(made(name), pieces(name), share)
    return [(p.low_mm + s, p.high_mm + s) for p, s in zip(pieces(name), shifts, strict=True)]


@pytest.mark.parametrize("name", BALLS)
def test_no_piece_overlaps_another_when_they_are_apart(name: str) -> None:
    gaps = [max(a[0] - b[1], b[0] - a[1]) for a, b in combinations(spans(name, 1.0), 2)]
    assert min(gaps) > 0.05 * made(name).radius_mm


@pytest.mark.parametrize("name", BALLS)
def test_at_rest_everything_is_where_it_is_cast(name: str) -> None:
    shifts = {s.pose.shift_mm for s in apart(made(name), pieces(name), 0.0)}
    assert shifts == {(0.0, 0.0, 0.0)}


@pytest.mark.parametrize("name", BALLS)
def test_half_way_everything_is_half_as_far(name: str) -> None:
    whole = np.array(shifts_of(made(name), pieces(name), 1.0))
    assert shifts_of(made(name), pieces(name), 0.5) == pytest.approx(tuple(whole / 2.0))


def test_the_inner_core_stays_and_the_others_go_outwards() -> None:
    """Upper disc up, lower disc down, and so the halves, each farther than what is within it."""
    away = [(piece.part, piece.away) for piece in pieces("discs")]
    assert away == [(2, 0), (0, 1), (1, -1), (3, 1), (3, -1), (4, 1), (4, -1)]


@pytest.mark.parametrize("name", BALLS)
def test_what_is_within_comes_before_what_is_round_it(name: str) -> None:
    """Going up, and going down, part numbers of what is poured never fall."""
    core = core_parts(made(name))
    for way in (1, -1):
        ends = [
            (way * low, piece.part)
            for piece, (low, _) in zip(pieces(name), spans(name, 1.0), strict=True)
            if piece.away == way and piece.part not in core
        ]
        assert [part for _, part in sorted(ends)] == sorted(part for _, part in ends)


def test_plain_faces_have_no_strokes() -> None:
    assert not [s for piece in pieces("turnstone") for s in piece.surfaces if s.finish == "stroke"]


def test_hatched_faces_have_strokes() -> None:
    assert [s for piece in pieces("discs") for s in piece.surfaces if s.finish == "stroke"]


@pytest.mark.parametrize("name", BALLS)
def test_the_frame_holds_every_piece(name: str) -> None:
    """The extent is that of all points where they are drawn, to a thousandth of a millimetre."""
    found = scene(name)
    flat = np.concatenate(
        [found.camera.project(s.pose.placed(s.points_mm)) for s in found.surfaces]
    )
    assert found.extent_mm is not None
    assert np.array(found.extent_mm) == pytest.approx(
        np.array([flat.min(axis=0), flat.max(axis=0)]), abs=1e-3
    )


@pytest.mark.parametrize("name", BALLS)
def test_nothing_lies_behind_the_camera(name: str) -> None:
    """It stands three reaches away, and sees as far again."""
    found = scene(name)
    deep = np.concatenate(
        [s.pose.placed(s.points_mm) @ found.camera.axes()[2] for s in found.surfaces]
    )
    assert np.abs(deep).max() < 3.0 * found.reach_mm


@pytest.mark.parametrize("name", BALLS)
def test_every_part_has_one_label_with_its_weight(name: str) -> None:
    named = sorted(label.lines[0] for label in scene(name).labels)
    assert named == sorted(part.name for part in made(name).parts)
    for label in scene(name).labels:
        part = next(p for p in made(name).parts if p.name == label.lines[0])
        pounds = f"{part.mass_g / 453.59237:.2f} lb"
        assert label.lines[1] == f"{part.density_g_cm3:.3f} g/cm\u00b3, {pounds}"


@pytest.mark.parametrize("name", BALLS)
def test_a_label_points_at_its_piece(name: str) -> None:
    """At a point of one of its part's surfaces, where it is drawn."""
    found = scene(name)
    for label in found.labels:
        part = int(label.key.removeprefix("part "))
        points = np.concatenate(
            [s.pose.placed(s.points_mm) for s in found.surfaces if s.part == part]
        )
        assert np.linalg.norm(points - label.at_mm, axis=1).min() < 1e-9


def test_the_view_is_the_pieces_wholly_apart() -> None:
    found = exploded(made("plain"), weigh(made("plain")), Wish(faces="plain"))
    assert [s.pose.shift_mm for s in found.surfaces] == [
        s.pose.shift_mm for s in scene("plain").surfaces
    ]


UPSIDE = """
format: corewright 1
name: Low
revision: A
units: in
ball: {diameter: 8.5}
materials: {a: {density: 2}, b: {density: 1}}
parts:
  - {name: core, material: a, shape: sphere, diameter: 2, move: [0, 0, -2.5]}
  - {name: cover, material: b, shape: sphere, diameter: 8.5}
"""


def test_a_core_far_below_the_centre_stands_free_of_both_halves() -> None:
    """It reaches from -3.5 to -1.5 in; the upper half has nothing to do with it and may stay."""
    low = build_ball(read_design(UPSIDE))
    found = pieces_of(low)
    shifts = shifts_of(low, found, 1.0)
    spread = [(p.low_mm + s, p.high_mm + s) for p, s in zip(found, shifts, strict=True)]
    assert min(max(a[0] - b[1], b[0] - a[1]) for a, b in combinations(spread, 2)) > 0.0
