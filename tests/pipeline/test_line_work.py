"""Lines where part, normal or depth change, on fields of pixels made by hand; none elsewhere."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from pipeline.job import NOTHING_MM
from pipeline.line_work import inked

HIGH, WIDE, BORDER = 24, 32, 16  # the right half begins at column BORDER
INK = (0x22, 0x20, 0x1D, 255)
TINT = (200, 180, 160, 255)
FACING = (128, 128)  # a normal that looks at the viewer, to the right and up as 0 to 255


def tints() -> NDArray[np.uint8]:
    return np.full((HIGH, WIDE, 4), TINT, dtype=np.uint8)


def edges(normal: tuple[int, int] = FACING, part: int = 7) -> NDArray[np.uint8]:
    return np.full((HIGH, WIDE, 4), (*normal, part, 255), dtype=np.uint8)


def flat(deep_mm: float = 300.0) -> NDArray[np.float32]:
    return np.full((HIGH, WIDE), deep_mm, dtype=np.float32)


def normal(lean_deg: float) -> tuple[int, int]:
    """Leant to the right: sin to the right, none up, from -1 to 1 on 0 to 255."""
    return round(127.5 + 127.5 * np.sin(np.radians(lean_deg))), 128


def line(
    found: NDArray[np.uint8],
) -> NDArray[np.bool_]:
    return np.asarray((found == np.array(INK, dtype=np.uint8)).all(axis=-1))


def drawn(edge: NDArray[np.uint8], depth: NDArray[np.float32], fine: int = 1) -> NDArray[np.bool_]:
    return line(inked(tints(), edge, depth, fine))


def columns(found: NDArray[np.bool_]) -> list[int]:
    """Those that a line fills from top to bottom, of a picture that has no other line."""
    full = found.all(axis=0)
    assert (found.any(axis=0) == full).all()
    return [int(k) for k in np.flatnonzero(full)]


def parts() -> NDArray[np.uint8]:
    """Two parts that lie flat beside one another."""
    found = edges()
    found[:, BORDER:, 2] = 9
    return found


def test_a_flat_face_has_no_line() -> None:
    assert not drawn(edges(), flat()).any()


def test_nothing_at_all_has_no_line() -> None:
    assert not drawn(np.zeros((HIGH, WIDE, 4), dtype=np.uint8), flat(float(NOTHING_MM))).any()


def test_a_line_runs_where_part_meets_part() -> None:
    assert columns(drawn(parts(), flat())) == [BORDER - 1, BORDER]


def test_a_line_runs_where_part_meets_part_above_and_below() -> None:
    found = edges()
    found[10:, :, 2] = 9
    assert columns(drawn(found, flat()).T) == [9, 10]


@pytest.mark.parametrize(("lean_deg", "seen"), [(90.0, True), (30.0, True), (10.0, False)])
def test_a_line_runs_where_a_face_meets_another(lean_deg: float, seen: bool) -> None:
    """A kink of 30 deg shows, one of 10 deg does not; between them lies the bound, at 17 deg.

    Sin 17.5 deg squared is 0.09, which pipeline/line_work.py has for the square of what the normals
    differ by.
    """
    found = edges()
    found[:, BORDER:, :2] = normal(lean_deg)
    assert drawn(found, flat()).any() == seen


def test_a_smooth_bend_has_no_line() -> None:
    """A quarter of a cylinder over the picture's width: 3 deg from column to column."""
    found = edges()
    for k in range(WIDE):
        found[:, k, :2] = normal(90.0 * k / (WIDE - 1))
    assert not drawn(found, flat()).any()


@pytest.mark.parametrize(("step_mm", "seen"), [(-30.0, True), (8.0, True), (5.0, False)])
def test_a_line_runs_where_depth_jumps(step_mm: float, seen: bool) -> None:
    """By 8 mm either way, but not by 5, which a steep face has from pixel to pixel (bound: 6.4)."""
    depth = flat()
    depth[:, BORDER:] += step_mm
    assert drawn(edges(), depth).any() == seen


def test_a_slope_has_no_line() -> None:
    """A face that falls away by 2 mm a pixel, all of one normal."""
    depth = flat() + 2.0 * np.arange(WIDE, dtype=np.float32)
    assert not drawn(edges(normal(60.0)), depth).any()


def test_an_outline_is_drawn() -> None:
    """A body in the left half, nothing in the right one."""
    found, depth = edges(), flat()
    found[:, BORDER:] = 0
    depth[:, BORDER:] = NOTHING_MM
    assert columns(drawn(found, depth)) == [BORDER - 1, BORDER]


@pytest.mark.parametrize(("fine", "thick"), [(1, 2), (2, 3)])
def test_how_thick_a_line_is(fine: int, thick: int) -> None:
    """One pixel on either side of the border, and one more where two make one of the picture.

    So it is 2 px thick in pictures drawn at their size, and 1.5 px in those drawn at twice theirs.
    """
    assert len(columns(drawn(parts(), flat(), fine))) == thick


@pytest.mark.parametrize("fine", [1, 2])
def test_pixels_beside_a_line_keep_their_tint(fine: int) -> None:
    before = tints()
    before[..., 0] = np.arange(WIDE, dtype=np.uint8)
    found = inked(before, parts(), flat(), fine)
    assert np.array_equal(found[~line(found)], before[~line(found)])


def test_what_was_given_stays_as_it_was() -> None:
    before = tints()
    inked(before, parts(), flat(), 2)
    assert np.array_equal(before, tints())


def test_a_line_on_clear_ground_is_full() -> None:
    """Outlines reach a pixel out of the body, where the tints are clear."""
    found = inked(np.zeros((HIGH, WIDE, 4), dtype=np.uint8), parts(), flat(), 1)
    assert (found[line(found)][:, 3] == 255).all()
    assert line(found).any()
