"""Several balls in one picture: one scale, one level, the first one's outlines as dashes."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from pipeline.ball import build_ball
from pipeline.errors import OutputError
from pipeline.load import load, read_design
from pipeline.scene import Scene
from pipeline.shells import CHORD_MM
from pipeline.shipped import shipped
from pipeline.side_by_side import Weighed, before_after, sizes
from pipeline.view_list import SHARED_VIEWS
from pipeline.weigh import weigh
from pipeline.wish import AS_IT_SUITS, Wish
from tests.pipeline.shots import Taken, album

IN = 25.4
CORES = {  # diameter and height, in
    "Dunlin": (3.0, 5.0),
    "Godwit": (2.0, 2.5),
    "Turnstone": (4.4, 4.0),
}
LEVEL = Wish(above_deg=0.0)


def text(name: str, core: str, outer: float = 7.0) -> str:
    return (
        f"format: corewright 1\nname: {name}\nrevision: B\nunits: in\nball: {{diameter: 8.5}}\n"
        "materials: {a: {density: 2}, b: {density: 1}}\nparts:\n"
        f"  - {{name: core, material: a, {core}}}\n"
        f"  - {{name: outer core, material: b, shape: sphere, diameter: {outer}}}\n"
        "  - {name: cover, material: a, shape: sphere, diameter: 8.5}\n"
    )


@cache
def weighed(source: str) -> Weighed:
    ball = build_ball(read_design(source))
    return Weighed(ball, weigh(ball))


def cylinder(name: str) -> Weighed:
    wide, high = CORES[name]
    return weighed(text(name, f"shape: cylinder, diameter: {wide}, height: {high}"))


def sphere(name: str, diameter: float, outer: float) -> Weighed:
    return weighed(text(name, f"shape: sphere, diameter: {diameter}", outer))


@cache
def three() -> Scene:
    return sizes([cylinder(name) for name in CORES], LEVEL)


@cache
def both() -> Scene:
    """Spheres within spheres, which are smaller after than before."""
    pair = [sphere("Dunlin", 4.0, 7.0), sphere("Dunlin", 3.0, 6.0)]
    return before_after(pair, Wish(faces="plain"))


@pytest.fixture(scope="module")
def taken() -> Iterator[Taken]:
    """Three cylinders seen level, each a rectangle."""
    with album() as pictures:
        yield pictures.take(three(), (960, 400))


def rectangles(taken: Taken) -> list[tuple[int, int, int, int]]:
    """Left, top, right and bottom, px, of what stands apart from left to right."""
    full = taken.shot.ball[..., 3] > 127
    columns = np.flatnonzero(full.any(axis=0))
    found = []
    for run in np.split(columns, np.flatnonzero(np.diff(columns) > 1) + 1):
        rows = np.flatnonzero(full[:, run[0] : run[-1] + 1].any(axis=1))
        found.append((int(run[0]), int(rows[0]), int(run[-1]) + 1, int(rows[-1]) + 1))
    return found


def test_there_is_a_body_for_each_ball(taken: Taken) -> None:
    assert len(rectangles(taken)) == len(CORES)


def test_all_heights_are_at_one_scale(taken: Taken) -> None:
    """Pixels over pixels an inch are the heights as they are; to a pixel, half at either end."""
    for (_, top, _, bottom), (_, high) in zip(rectangles(taken), CORES.values(), strict=True):
        assert bottom - top == pytest.approx(high * IN * taken.sheet.px_per_mm, abs=1.0)


def test_all_widths_are_at_one_scale(taken: Taken) -> None:
    for (left, _, right, _), (wide, _) in zip(rectangles(taken), CORES.values(), strict=True):
        assert right - left == pytest.approx(wide * IN * taken.sheet.px_per_mm, abs=1.0)


def test_all_stand_on_one_level(taken: Taken) -> None:
    """The lowest rows are the same, to the rounding of one."""
    assert np.ptp([bottom for *_, bottom in rectangles(taken)]) <= 1


def test_they_stand_in_the_order_that_was_given() -> None:
    """Their words lie below them, from left to right."""
    scene = three()
    across = [float(scene.camera.project(label.at_mm)[0]) for label in scene.labels]
    assert across == sorted(across)
    assert [label.lines[0] for label in scene.labels] == [f"{name} B" for name in CORES]


def test_no_body_stands_in_another_at_any_turn() -> None:
    """From middle to middle there is more than the widest one's width."""
    middles = [float(x.at_mm @ three().camera.axes()[0]) for x in three().labels]
    assert np.diff(middles).min() > 4.4 * IN


@pytest.mark.parametrize("number", range(3))
def test_sizes_are_written_as_they_are(number: int) -> None:
    """To the last of their two decimals."""
    wide, high = list(CORES.values())[number]
    assert three().labels[number].lines[1] == f"{high:.2f} in high, {wide:.2f} in across"


def test_a_row_has_each_ball_s_own_figures() -> None:
    for name, label in zip(CORES, three().labels, strict=True):
        rg_in = cylinder(name).properties.principal.rg_mm[0] / IN
        assert f"RG {rg_in:.3f} in" in label.lines


def test_asymmetrical_balls_have_their_intermediate_differential_too() -> None:
    ball = build_ball(load(shipped("turnstone")))
    properties = weigh(ball)
    found = sizes([Weighed(ball, properties), cylinder("Dunlin")], LEVEL)
    apart_in = properties.principal.intermediate_differential_mm / IN
    assert [line for label in found.labels for line in label.lines if "intermediate" in line] == [
        f"intermediate {apart_in:.3f} in"
    ]


# Before and after


def places(scene: Scene, ball: int) -> NDArray[np.float64]:
    """Points of all of a ball's faces where they are drawn; parts count from 10 for the second."""
    return np.concatenate(
        [s.pose.placed(s.points_mm) for s in scene.surfaces if s.part // 10 == ball]
    )


def middle(scene: Scene, ball: int) -> NDArray[np.float64]:
    """Of a section, to the right and up."""
    flat = scene.camera.project(places(scene, ball))
    return np.asarray((flat.min(axis=0) + flat.max(axis=0)) / 2.0)


def radii(curve: NDArray[np.float64]) -> NDArray[np.float64]:
    """Of a dash's points about the middle of the second section."""
    flat = both().camera.project(curve) - middle(both(), 1)
    return np.asarray(np.linalg.norm(flat, axis=1))


def test_both_sections_have_one_size() -> None:
    """The same ball twice: 8.5 in, to the sag at either end."""
    for ball in (0, 1):
        wide = np.ptp(both().camera.project(places(both(), ball)), axis=0)
        assert wide == pytest.approx([8.5 * IN] * 2, abs=2.0 * CHORD_MM)


def test_sections_stand_beside_one_another_on_one_level() -> None:
    first, last = middle(both(), 0), middle(both(), 1)
    assert last[0] - first[0] > 8.5 * IN
    assert first[1] == pytest.approx(last[1], abs=CHORD_MM)


def test_dashes_lie_on_the_first_ball_s_outlines() -> None:
    """Circles of 4, 7 and 8.5 in round the second one's middle, to the sag of a chord and of it."""
    found = sorted(float(radii(thread.path_mm).mean()) * 2.0 / IN for thread in both().threads)
    assert found == pytest.approx([4.0, 7.0, 8.5], abs=2.0 * CHORD_MM / IN)


def test_dashes_run_all_round() -> None:
    """Each is closed, and as round as its chords let it be."""
    for thread in both().threads:
        assert thread.dashed
        assert thread.path_mm[0] == pytest.approx(thread.path_mm[-1])
        assert float(np.ptp(radii(thread.path_mm))) < 2.0 * CHORD_MM


def test_dashes_lie_in_front_of_the_second_section() -> None:
    toward = both().camera.axes()[2]
    front = float((places(both(), 1) @ toward).max())
    assert min(float((thread.path_mm @ toward).min()) for thread in both().threads) > front


def test_a_core_off_the_middle_keeps_its_place_in_the_dashes() -> None:
    """Moved up by half an inch: the smallest dash's middle lies as far above the second's."""
    core = "shape: sphere, diameter: 4, move: [0, 0, 0.5]"
    pair = [weighed(text("Dunlin", core)), sphere("Dunlin", 3.0, 6.0)]
    found = before_after(pair, Wish(faces="plain"))
    smallest = min(found.threads, key=lambda thread: float(np.ptp(thread.path_mm[:, 2])))
    flat = found.camera.project(smallest.path_mm)
    up = (flat.min(axis=0) + flat.max(axis=0))[1] / 2.0 - middle(found, 1)[1]
    assert up == pytest.approx(0.5 * IN, abs=2.0 * CHORD_MM)


def enclosed_mm2(curve: NDArray[np.float64]) -> float:
    """By a closed curve in a level view from +X: the shoelace formula (from memory)."""
    x, y = curve[:, 1], curve[:, 2]
    return abs(float((x[:-1] * y[1:] - x[1:] * y[:-1]).sum())) / 2.0


def test_dashes_enclose_the_first_ball_s_sections() -> None:
    """Of the shipped Turnstone: its block's is a rounded rectangle that leans by 4 deg.

    (w h - (4 - pi) r2) / cos 4 deg (tests/reference/test_section_colours.py says why); to the sag
    along the outline.
    """
    ball = build_ball(load(shipped("turnstone")))
    pair = [Weighed(ball, weigh(ball)), sphere("Dunlin", 3.0, 6.0)]
    found = sorted(enclosed_mm2(t.path_mm) for t in before_after(pair, AS_IT_SUITS).threads)
    block = (3.55 * 5.05 - (4.0 - np.pi) * 0.7**2) / np.cos(np.radians(4.0)) * IN**2
    due = [block, np.pi / 4.0 * (7.05 * IN) ** 2, np.pi / 4.0 * (8.55 * IN) ** 2]
    assert found == pytest.approx(due, abs=CHORD_MM * np.pi * 8.55 * IN)


def test_each_section_is_named() -> None:
    assert [x.lines[0] for x in both().labels] == ["before: Dunlin B", "after: Dunlin B"]


def test_no_table_of_parts_stands_for_both() -> None:
    assert both().legend == ()


@pytest.mark.parametrize(
    ("view", "count", "room"),
    [
        ("sizes", 1, "2 to 6"),
        ("sizes", 7, "2 to 6"),
        ("sizes", 0, "2 to 6"),
        ("before-after", 1, "2"),
        ("before-after", 3, "2"),
    ],
)
def test_a_wrong_number_of_balls_is_refused_with_advice(view: str, count: int, room: str) -> None:
    balls = [cylinder("Dunlin")] * count
    with pytest.raises(OutputError) as error:
        SHARED_VIEWS[view].draw(balls, AS_IT_SUITS)
    said = f"the view '{view}' shows {room} balls, and {count} were given: name the others"
    assert str(error.value) == f"{said} with --beside FILE"


def test_a_ball_without_a_core_is_refused_by_name() -> None:
    plain = weighed(
        "format: corewright 1\nname: Plain\nrevision: A\nunits: in\nball: {diameter: 8.5}\n"
        "materials: {a: {density: 1}}\nparts:\n"
        "  - {name: cover, material: a, shape: sphere, diameter: 8.5}\n"
    )
    with pytest.raises(OutputError, match="Plain has no core to draw alone"):
        sizes([cylinder("Dunlin"), plain], AS_IT_SUITS)
