"""Pieces of a mould: each is drawn away from all that is left."""

from __future__ import annotations

import numpy as np

from shapes.pieces import Split, piece_at, pieces_of

DOWN = Split((0.0, 0.0, -1.0), 20.0)
SIDE = Split((0.0, 1.0, 0.0), 3.0)


def test_one_more_piece_than_planes_each_drawn_along_its_normal() -> None:
    found = pieces_of([DOWN, SIDE])
    assert [np.add(p.pull, 0.0).tolist() for p in found] == [[0, 0, -1], [0, 1, 0], [0, -1, 0]]


def test_every_point_is_in_the_piece_whose_planes_hold_it() -> None:
    points = np.random.default_rng(4).uniform(-50.0, 50.0, (500, 3))
    found = pieces_of([DOWN, SIDE])
    for point, k in zip(points, piece_at(points, [DOWN, SIDE]), strict=True):
        inside = [all(s.heights_mm(point) > 0.0 for s in piece.within) for piece in found]
        assert inside == [k == j for j in range(3)]
