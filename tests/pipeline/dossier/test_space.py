"""Triangles of a page unpacked and measured by the divergence theorem: volume, centre, inertia.

What a page shows in space is read here as its viewer must read it, and by no code of ours.
"""

from __future__ import annotations

import base64
import json
import zlib
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

from pipeline.ball import Part, build_ball
from pipeline.dossier.contents import MESH_MM, Contents, contents
from pipeline.dossier.space import packed, space_of
from pipeline.load import load
from pipeline.shells import Shell
from pipeline.shipped import shipped
from shapes.moments import Array, Moments
from tests.pipeline.dossier.told_balls import Data, data, found, space

IN, LB = 25.4, 453.59237
CHORD = MESH_MM[0]
STEP = 0.002  # mm: how far packing may move a corner along an axis


@dataclass(frozen=True)
class Body:
    """A part as it is unpacked: corners, mm, normals, triangles."""

    row: Data
    steps: npt.NDArray[np.int64]
    corners: Array
    normals: Array
    triangles: npt.NDArray[np.int64]

    def faces(self) -> Array:
        """Shape (m, 3, 3)."""
        return np.asarray(self.corners[self.triangles])

    def across(self) -> Array:
        """Shape (m, 3): out of each triangle, twice its area long."""
        a, b, c = np.moveaxis(self.faces(), 1, 0)
        return np.asarray(np.cross(b - a, c - a))

    def area(self) -> float:
        return float(np.linalg.norm(self.across(), axis=1).sum() / 2.0)


def unpacked(row: Data) -> Body:
    """By the words of the module: steps, normals, filling up to four bytes, triangles."""
    raw = zlib.decompress(base64.b64decode(row["data"], validate=True))
    corners, triangles = row["corners"], row["triangles"]
    steps = np.frombuffer(raw, "<u2", 3 * corners).reshape(-1, 3).astype(np.int64)
    normals = np.frombuffer(raw, "i1", 3 * corners, 6 * corners).reshape(-1, 3) / 127.0
    start = -(-9 * corners // 4) * 4
    kind = {16: "<u2", 32: "<u4"}[row["index"]]
    indices = np.frombuffer(raw, kind, 3 * triangles, start).reshape(-1, 3).astype(np.int64)
    assert len(raw) == start + indices.size * row["index"] // 8
    at = steps * np.array(row["scale"]) + np.array(row["offset"])
    return Body(row, steps, at, normals, indices)


def measured(body: Body) -> Moments:
    """Tetrahedra from the origin to each triangle: V = a.(b x c)/6, and so on (from memory).

    Over a tetrahedron with a corner at the origin the integral of x_i x_j is
    V/20 (s_i s_j + sum of the corners' own products), s the sum of its corners.
    """
    faces = body.faces()
    a, b, c = np.moveaxis(faces, 1, 0)
    volumes = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6.0
    total = faces.sum(axis=1)
    first = volumes @ total / 4.0
    products = np.einsum("m,mi,mj->ij", volumes, total, total)
    products += np.einsum("m,mki,mkj->ij", volumes, faces, faces)
    return Moments(float(volumes.sum()), first, products / 20.0)


@pytest.fixture(scope="module")
def godwit() -> tuple[Contents, Data]:
    """Discs let into a core with a spline and fillets."""
    made = contents(build_ball(load(shipped("godwit"))))
    return made, space_of(made)


@pytest.fixture(scope="module", params=["godwit", "gripped", "bored", "crossed"])
def shown(request: pytest.FixtureRequest, godwit: tuple[Contents, Data]) -> tuple[Contents, Data]:
    if request.param == "godwit":
        return godwit
    return found(request.param), space(request.param)


@pytest.fixture(scope="module")
def bodies(shown: tuple[Contents, Data]) -> list[tuple[Part, Body]]:
    made, told = shown
    return list(zip((s.part for s in made.solids), map(unpacked, told["parts"]), strict=True))


# --- the triangles are the parts


def test_every_part_is_there_once_as_it_is_called(shown: tuple[Contents, Data]) -> None:
    made, told = shown
    due = [(part.name, part.role, part.colour) for part in made.shown.parts]
    assert [(row["name"], row["role"], row["colour"]) for row in told["parts"]] == due


def test_the_volume_is_that_which_the_part_claims(bodies: list[tuple[Part, Body]]) -> None:
    for part, body in bodies:
        within = body.area() * (CHORD + 2.0 * STEP)
        assert measured(body).volume_mm3 > 0.0
        gap = measured(body).volume_mm3 - part.claimed.volume_mm3
        assert abs(gap) < within, part.name


def test_the_centre_is_that_of_the_part(bodies: list[tuple[Part, Body]]) -> None:
    for part, body in bodies:
        reach = float(np.linalg.norm(body.corners, axis=1).max())
        within = body.area() * (CHORD + 2.0 * STEP) * reach
        gap = measured(body).first_mm4 - part.claimed.first_mm4
        assert float(np.abs(gap).max()) < within, part.name


def test_the_second_moments_are_those_of_the_part(bodies: list[tuple[Part, Body]]) -> None:
    for part, body in bodies:
        reach = float(np.linalg.norm(body.corners, axis=1).max())
        within = body.area() * (CHORD + 2.0 * STEP) * reach**2
        gap = measured(body).second_mm5 - part.claimed.second_mm5
        assert float(np.abs(gap).max()) < within, part.name


def test_the_ball_that_is_shown_turns_as_the_one_that_is_told_of(
    shown: tuple[Contents, Data], bodies: list[tuple[Part, Body]]
) -> None:
    """By the densities of the parts; the mesh is good to some thousandths of an inch."""
    made, _ = shown
    total = Moments.zero()
    for part, body in bodies:
        total = total + measured(body).times(part.density_g_cm3 / 1000.0)
    rgs = np.sqrt(np.linalg.eigvalsh(total.inertia_mm5()) / total.volume_mm3) / IN
    told = made.data["figures"]
    assert rgs == pytest.approx(list(told["rg_in"].values()), abs=4e-3)
    assert total.volume_mm3 / LB == pytest.approx(told["mass_lb"], rel=3e-3)


# --- sound triangles


def test_normals_are_of_unit_length(bodies: list[tuple[Part, Body]]) -> None:
    for part, body in bodies:
        long = np.linalg.norm(body.normals, axis=1)
        assert float(np.abs(long - 1.0).max()) < 0.015, part.name  # a byte has 127 steps


def test_normals_point_out_of_the_part(bodies: list[tuple[Part, Body]]) -> None:
    """The way that the triangles turn, which is out, as the volumes are more than nothing."""
    for part, body in bodies:
        across = body.across()
        size = np.linalg.norm(across, axis=1)
        large = size > 1e-3 * size.max()
        ways = across[large] / size[large, None]
        along = np.einsum("mj,mkj->mk", ways, body.normals[body.triangles[large]])
        assert float(along.min()) > 0.5, part.name


def test_the_triangles_close_when_corners_that_lie_on_one_another_are_joined(
    bodies: list[tuple[Part, Body]],
) -> None:
    """Every edge is gone along once each way, or the viewer's cuts have no outline."""
    for part, body in bodies:
        _, joined = np.unique(body.steps, axis=0, return_inverse=True)
        corners = joined.ravel()[body.triangles]
        whole = (
            (corners[:, 0] != corners[:, 1])
            & (corners[:, 1] != corners[:, 2])
            & (corners[:, 2] != corners[:, 0])
        )
        edges = np.concatenate([corners[whole][:, [k, (k + 1) % 3]] for k in range(3)])
        there, ways = np.unique(edges, axis=0, return_counts=True)
        back, returns = np.unique(edges[:, ::-1], axis=0, return_counts=True)
        assert np.array_equal(there, back), part.name
        assert np.array_equal(ways, returns), part.name


def test_every_corner_is_used_and_none_is_missing(bodies: list[tuple[Part, Body]]) -> None:
    for part, body in bodies:
        assert body.triangles.min() == 0
        assert body.triangles.max() == body.row["corners"] - 1
        assert len(np.unique(body.triangles)) == body.row["corners"], part.name


def test_corners_of_the_cover_lie_on_the_ball(shown: tuple[Contents, Data]) -> None:
    _, told = shown
    body = unpacked(told["parts"][-1])
    far = np.linalg.norm(body.corners, axis=1)
    assert far.max() == pytest.approx(told["radius_mm"], abs=2.0 * STEP)
    assert np.count_nonzero(np.abs(far - told["radius_mm"]) < 2.0 * STEP) > 100


# --- packing


def ring(corners: int, reach: float = 108.5) -> Shell:
    """A strip of corners across a box as wide as a ball."""
    rng = np.random.default_rng(7)
    points = rng.uniform(-reach, reach, (corners, 3))
    points[0], points[1] = -reach, reach
    normals = rng.normal(size=(corners, 3))
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    index = np.arange(corners)
    triangles = np.stack([index, (index + 1) % corners, (index + 2) % corners], axis=1)
    return Shell(0, False, points, normals, triangles)


def any_part() -> Part:
    return found("bored").shown.parts[0]


@pytest.mark.parametrize("corners", [5, 6, 7, 8, 301])
def test_packing_moves_no_corner_by_more_than_its_step(corners: int) -> None:
    shell = ring(corners)
    body = unpacked(packed(any_part(), [shell]))
    assert float(np.abs(body.corners - shell.points_mm).max()) < STEP
    assert float(np.abs(body.normals - shell.normals).max()) < 0.5 / 127.0 + 1e-9
    assert np.array_equal(body.triangles, shell.triangles)


@pytest.mark.parametrize(("corners", "bits"), [(65535, 16), (65537, 32), (70000, 32)])
def test_many_corners_are_counted_with_numbers_wide_enough(corners: int, bits: int) -> None:
    shell = ring(corners)
    row = packed(any_part(), [shell])
    assert row["index"] == bits
    assert np.array_equal(unpacked(row).triangles, shell.triangles)


def test_lumps_of_one_part_are_packed_one_after_another() -> None:
    one, other = ring(8), ring(11, 50.0)
    body = unpacked(packed(any_part(), [one, other]))
    assert np.array_equal(body.triangles[len(one.triangles) :], other.triangles + 8)
    assert float(np.abs(body.corners[8:] - other.points_mm).max()) < STEP


# --- axes, marks, holes


def test_the_figures_that_the_viewer_works_with_are_those_of_the_data(
    shown: tuple[Contents, Data],
) -> None:
    made, told = shown
    figures = made.data["figures"]
    tensor = np.array(told["inertia_g_mm2"]) / (LB * IN**2)
    assert tensor == pytest.approx(np.array(figures["inertia_lb_in2"]), abs=1e-4)
    assert told["mass_g"] / LB == pytest.approx(figures["mass_lb"], abs=1e-6)
    assert np.array(told["cg_mm"]) / IN == pytest.approx(figures["centre_of_gravity_in"], abs=1e-6)
    assert told["symmetry"] == figures["symmetry"]
    assert told["radius_mm"] == 108.585


def test_axes_are_those_of_the_data_and_each_has_a_line_of_its_own(
    shown: tuple[Contents, Data],
) -> None:
    made, told = shown
    figures = made.data["figures"]
    assert [row["name"] for row in told["axes"]] == ["low", "intermediate", "high"]
    assert len({row["line"] for row in told["axes"]}) == 3
    assert len({row["colour"] for row in told["axes"]}) == 3
    for row in told["axes"]:
        axis = figures["axes"][row["name"]]
        assert (row["way"] is None) == (axis is None)
        if axis is not None:
            assert row["way"] == pytest.approx(axis, abs=1e-8)
        assert float(row["rg"]) == pytest.approx(figures["rg_in"][row["name"]], abs=0.51e-4)


def marks(told: Data) -> dict[str, Any]:
    return {row["name"]: np.array(row["at_mm"]) / IN for row in told["marks"]}


def test_marks_lie_on_the_ball(shown: tuple[Contents, Data]) -> None:
    for name, at in marks(shown[1]).items():
        assert float(np.linalg.norm(at)) == pytest.approx(4.275, abs=1e-6), name


def test_marks_of_a_ball_without_holes_are_those_of_the_data() -> None:
    figures = data("leaning")["figures"]
    at = marks(space("leaning"))
    assert list(at) == ["pin", "PSA", "CG mark"]
    for name, key in (("pin", "pin_in"), ("PSA", "psa_in"), ("CG mark", "cg_mark_in")):
        assert at[name] == pytest.approx(figures[key], abs=2e-7)


def test_marks_of_a_drilled_ball_are_those_that_it_was_laid_out_by() -> None:
    figures = data("gripped")["figures"]
    drilling, before = figures["drilling"], figures["undrilled"]
    at = marks(space("gripped"))
    assert list(at) == ["pin", "mark", "grip centre", "axis point", "CG mark"]
    for name, due in (
        ("pin", before["pin_in"]),
        ("mark", before["psa_in"]),
        ("grip centre", drilling["grip_centre_in"]),
        ("axis point", drilling["axis_point_in"]),
        ("CG mark", figures["cg_mark_in"]),
    ):
        assert at[name] == pytest.approx(due, abs=2e-6), name


def test_the_marks_are_as_far_apart_as_the_layout_says() -> None:
    at, layout = marks(space("gripped")), data("gripped")["figures"]["drilling"]["layout_in"]
    for key, (one, other) in {
        "pin_to_axis_point": ("pin", "axis point"),
        "mark_to_axis_point": ("mark", "axis point"),
        "pin_to_grip_centre": ("pin", "grip centre"),
        "pin_to_mark": ("pin", "mark"),
    }.items():
        cosine = float(at[one] @ at[other]) / 4.275**2
        assert 4.275 * np.arccos(cosine) == pytest.approx(layout[key], abs=1e-5)


def test_a_mark_that_is_undefined_is_not_shown() -> None:
    assert [row["name"] for row in space("spheres")["marks"]] == ["pin", "CG mark"]
    assert [row["name"] for row in space("uniform")["marks"]] == []


@pytest.mark.parametrize("name", ["gripped", "bored"])
def test_holes_are_those_of_the_drilling(name: str) -> None:
    holes = data(name)["figures"]["drilling"]["holes"]
    shown_holes = space(name)["holes"]
    assert [row["name"] for row in shown_holes] == [hole["name"] for hole in holes]
    for row, hole in zip(shown_holes, holes, strict=True):
        assert np.array(row["entry_mm"]) / IN == pytest.approx(hole["entry_in"], abs=1e-6)
        assert row["way"] == pytest.approx(hole["way"], abs=1e-8)
        assert row["diameter_mm"] / IN == pytest.approx(hole["diameter_in"], abs=1e-6)
        assert row["depth_mm"] / IN == pytest.approx(hole["depth_in"], abs=1e-6)


def test_a_hole_starts_on_the_ball_and_goes_into_it() -> None:
    for row in space("gripped")["holes"]:
        entry, way = np.array(row["entry_mm"]), np.array(row["way"])
        assert float(np.linalg.norm(entry)) == pytest.approx(108.585, abs=1e-5)
        assert float(np.linalg.norm(way)) == pytest.approx(1.0, abs=1e-9)
        assert float(entry @ way) < 0.0


def test_no_triangle_lies_in_a_hole() -> None:
    """The cover is drilled where the holes are said to be."""
    told = space("bored")
    (hole,) = told["holes"]
    cover = unpacked(told["parts"][-1])
    middles = cover.faces().mean(axis=1) - np.array(hole["entry_mm"])
    along = middles @ np.array(hole["way"])
    aside = np.linalg.norm(middles - along[:, None] * np.array(hole["way"]), axis=1)
    inside = (along > 0.5) & (along < hole["depth_mm"] - 0.5)
    inside &= aside < hole["diameter_mm"] / 2.0 - CHORD - 0.1
    assert not inside.any()
    wall = (along > 5.0) & (along < hole["depth_mm"] - 5.0)
    wall &= np.abs(aside - hole["diameter_mm"] / 2.0) < CHORD + 0.05
    assert wall.any()


def test_a_ball_without_holes_shows_none() -> None:
    assert [space(name)["holes"] for name in ("leaning", "spheres")] == [[], []]


# --- plain, and the same every time


def test_what_is_shown_is_plain_and_comes_back_from_json(shown: tuple[Contents, Data]) -> None:
    told = shown[1]
    assert json.loads(json.dumps(told, allow_nan=False)) == told


def test_the_same_ball_is_shown_by_the_same_bytes() -> None:
    again = space_of(found("bored"))
    assert json.dumps(again) == json.dumps(space("bored"))
