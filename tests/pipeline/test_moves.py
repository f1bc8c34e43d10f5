"""Every move of every view that it films: loops close, turns are about what they say.

The balls are quick ones: a box within spheres, and one that is drilled.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from pipeline import moves
from pipeline.arrange import Page, frame_for
from pipeline.ball import Ball
from pipeline.errors import OutputError
from pipeline.film import Film, frames_of
from pipeline.moves import MOVES, take_of
from pipeline.picture import scene_by
from pipeline.scene import Scene
from pipeline.take import Take
from pipeline.weigh import weigh
from pipeline.wish import AS_IT_SUITS, Wish
from tests.pipeline.filmed import CLOSE, brick, drilled, varied

OF_DRILLED = ("drilled", "bored", "rings")
FILMED = [(move, view) for move, found in MOVES.items() for view in found.views]
LOOPS = [(move, view) for move, view in FILMED if move not in ("opening", "roll")]
HOME_MM, RADIUS_MM = 1e-9, 4.275 * 25.4
WEDGE = Wish(toward_deg=30.0, opening_deg=100.0)


def shown(view: str) -> Ball:
    return drilled() if view in OF_DRILLED else varied()


@cache
def drawn(view: str) -> Scene:
    return scene_by(shown(view), view)


@cache
def take(move: str, view: str) -> Take:
    """A move of a view, prepared from a scene that all moves of the view share."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(moves, "scene_by", lambda _ball, view, _wish: drawn(view))
        return take_of(shown(view), move, view, WEDGE if move == "opening" else AS_IT_SUITS)


@cache
def scenes(move: str, view: str) -> list[Scene]:
    """From start to end; those that are slow to make in few steps."""
    steps = {"opening": 3, "morph": 7}.get(move, 25)
    return [take(move, view).at(float(share)) for share in np.linspace(0.0, 1.0, steps)]


def placed(scene: Scene) -> np.ndarray:
    """Where all that has a place in a scene stands and how much of it is seen, in one row."""
    rows = [
        scene.camera.axes().ravel(),
        *(np.array([*s.pose.shift_mm, *np.ravel(s.pose.frame), s.opacity]) for s in scene.surfaces),
        *(axis.path_mm.ravel() for axis in scene.axes),
        *(np.array([*mark.at_mm, mark.behind, mark.fade]) for mark in scene.marks),
        *(label.at_mm for label in scene.labels),
        *(thread.path_mm.ravel() for thread in scene.threads),
        np.array([scene.reach_mm, scene.floor_mm or 0.0]),
    ]
    return np.concatenate(rows)


def worded(scene: Scene) -> list[object]:
    """All that is said in a scene."""
    return [scene.figures, scene.legend, scene.notes, [x.lines for x in scene.labels]]


# Loops


@pytest.mark.parametrize(("move", "view"), FILMED)
def test_it_is_told_whether_a_move_loops(move: str, view: str) -> None:
    """docs/pictures.md lists those that close without a jump."""
    assert take(move, view).loops == ((move, view) in LOOPS)


@pytest.mark.parametrize(("move", "view"), LOOPS)
def test_all_is_back_in_its_place_at_the_end_of_a_loop(move: str, view: str) -> None:
    found = take(move, view)
    assert placed(found.at(1.0)) == pytest.approx(placed(found.at(0.0)), abs=HOME_MM)


@pytest.mark.parametrize(("move", "view"), LOOPS)
def test_all_that_is_said_is_the_same_at_the_end_of_a_loop(move: str, view: str) -> None:
    found = take(move, view)
    assert worded(found.at(1.0)) == worded(found.at(0.0))


@pytest.mark.parametrize(("move", "view"), LOOPS)
def test_words_are_as_clear_at_the_end_of_a_loop_as_at_its_start(move: str, view: str) -> None:
    found = take(move, view)
    first, last = ([x.fade for x in found.at(share).labels] for share in (0.0, 1.0))
    assert last == pytest.approx(first, abs=1e-9)


@pytest.mark.parametrize(
    ("move", "view"),
    [("turntable", "whole"), ("tumble", "axes"), ("apart", "exploded"), ("spins", "axes"),
     ("morph", "ghost")],
)  # fmt: skip
def test_the_first_frame_follows_the_last_as_any_follows_another(move: str, view: str) -> None:
    """The mean change of a pixel is at most half again that of a pair of neighbours, without words.

    The median of these may be the nought of a rest, where then nothing must change.
    """
    frames = 8 if move == "morph" else 12
    film = Film(move, view, frames / 25, 25, CLOSE, page=Page(card=False, labels=False))
    shot = [np.array(f, int) for f in frames_of(take(move, view), film, range(frames))]
    steps = [float(np.abs(b - a).mean()) for a, b in pairwise(shot)]
    assert float(np.abs(shot[0] - shot[-1]).mean()) <= 1.5 * float(np.median(steps))


# The frame


@pytest.mark.parametrize(("move", "view"), FILMED)
def test_nothing_leaves_the_frame(move: str, view: str) -> None:
    """All bodies and axes fall on the stage in frames between those that the frame was made for.

    Without labels, which take their room from the bodies.
    """
    found = take(move, view)
    frame = frame_for([found.at(s) for s in found.samples], (640, 480), Page(labels=False))
    beyond = []
    for scene in scenes(move, view):
        points = [s.pose.placed(s.points_mm[::9]) for s in scene.surfaces]
        points += [axis.path_mm for axis in scene.axes]
        flat = scene.camera.project(np.concatenate(points)) * frame.px_per_mm * [1.0, -1.0]
        low, high = (flat + frame.origin).min(axis=0), (flat + frame.origin).max(axis=0)
        stage = frame.stage
        beyond += [stage.left - low[0], stage.top - low[1],
                   high[0] - stage.right, high[1] - stage.bottom]  # fmt: skip
    assert max(beyond) <= 0.0


@pytest.mark.parametrize(("move", "view"), FILMED)
def test_the_samples_know_all_that_is_ever_labelled(move: str, view: str) -> None:
    """Else a label would be left out of the frames that have it."""
    found = take(move, view)
    known = {label.known_by for share in found.samples for label in found.at(share).labels}
    ever = {label.known_by for scene in scenes(move, view) for label in scene.labels}
    assert ever <= known


# What is asked


def test_an_unknown_move_is_refused_with_the_names_of_the_others() -> None:
    with pytest.raises(OutputError, match="no move 'twirl'; the moves are turntable, tumble"):
        take_of(brick(), "twirl", "", AS_IT_SUITS)


@pytest.mark.parametrize("move", MOVES)
def test_a_view_that_it_cannot_film_is_refused_with_those_that_it_can(move: str) -> None:
    films = ", ".join(MOVES[move].views)
    with pytest.raises(OutputError, match=f"'{move}' cannot film the view 'section'.*{films}"):
        take_of(brick(), move, "section", AS_IT_SUITS)


@pytest.mark.parametrize(
    ("move", "view", "wish", "says"),
    [
        ("turntable", "ghost", Wish(toward_deg=10.0), "'ghost' takes no --toward.*--from, --above"),
        ("tumble", "core", Wish(faces="plain"), "'core' takes no --faces"),
        ("opening", "", Wish(opening_deg=5.0), "5 deg cannot be drawn; it may be from 10 to 300"),
        ("apart", "", Wish(opening_deg=90.0), "'apart' takes no --opening.*--faces"),
        ("spins", "", Wish(faces="plain"), "'spins' takes no --faces"),
        ("morph", "", Wish(toward_deg=0.0), "'morph' takes no --toward"),
        ("roll", "", Wish(from_deg=0.0), "'roll' takes no --from; what it takes: nothing"),
    ],
)
def test_a_wish_that_it_does_not_heed_is_refused(
    move: str, view: str, wish: Wish, says: str
) -> None:
    ball = drilled() if move == "roll" else varied()
    with pytest.raises(OutputError, match=says):
        take_of(ball, move, view, wish)


@pytest.mark.parametrize("move", ["apart", "spins", "morph"])
def test_it_is_seen_from_where_it_was_asked(move: str) -> None:
    found = take_of(varied(), move, "", Wish(from_deg=33.0, above_deg=-12.0))
    camera = found.at(0.0).camera
    assert (camera.azimuth_deg, camera.elevation_deg) == (33.0, -12.0)


def test_captions_follow_one_another_to_the_end() -> None:
    """Of every move: the first starts with the clip, each ends where the next one starts."""
    for move, view in FILMED:
        said = take(move, view).captions
        ends = [0.0, *(caption.end for caption in said)]
        assert [caption.start for caption in said] == pytest.approx(ends[:-1]), move
        assert ends[-1] == pytest.approx(1.0), move


# spins


@pytest.fixture(scope="module")
def principal() -> np.ndarray:
    """Shape (3, 3), the axes as rows from low to high, by NumPy from the tensor."""
    _, vectors = np.linalg.eigh(weigh(brick()).inertia_g_mm2)
    return vectors.T


@pytest.mark.parametrize("leg", [0, 1, 2])
def test_the_axis_that_it_spins_about_stays_where_it_is(leg: int, principal: np.ndarray) -> None:
    """To 1e-6 mm, since frames of cameras are rounded to 1e-9."""
    found = take("spins", "axes")
    shares = (leg + np.linspace(0.0, 0.999, 9)) / 3.0
    seen = [found.at(float(s)).camera.project(RADIUS_MM * principal[leg]) for s in shares]
    assert np.ptp(seen, axis=0).max() < 1e-6


@pytest.mark.parametrize("leg", [0, 1, 2])
def test_all_else_goes_round_once(leg: int, principal: np.ndarray) -> None:
    """A point beside the axis has been on all sides of it, and is back at the end of the leg."""
    found = take("spins", "axes")
    beside = principal[(leg + 1) % 3]
    shares = (leg + np.linspace(0.0, 0.99999, 400)) / 3.0
    own = [found.at(float(s)).camera.axes() @ beside for s in shares]
    axis = found.at(leg / 3.0).camera.axes() @ principal[leg]
    steps = [float(np.cross(a, b) @ axis) for a, b in pairwise(own)]
    turned = float(np.arcsin(np.clip(steps, -1.0, 1.0)).sum())
    assert abs(turned) == pytest.approx(2.0 * np.pi, abs=1e-4)


@pytest.mark.parametrize(("leg", "name"), [(0, "low"), (1, "intermediate"), (2, "high")])
def test_the_axis_that_it_spins_about_is_named_clearest(leg: int, name: str) -> None:
    labels = take("spins", "axes").at((leg + 0.5) / 3.0).labels
    fades = {x.key: x.fade for x in labels if x.key in ("low", "intermediate", "high")}
    assert max(fades, key=lambda key: fades[key]) == name


def test_its_captions_say_the_rg_of_each_leg() -> None:
    """RGs as they are printed, sqrt(I / m), in."""
    properties = weigh(brick())
    rgs = np.sqrt(np.linalg.eigvalsh(properties.inertia_g_mm2) / properties.mass_g) / 25.4
    said = [caption.words for caption in take("spins", "axes").captions]
    assert all(f"RG {rg:.3f} in" in words for rg, words in zip(rgs, said, strict=True))


# opening


@pytest.fixture(scope="module")
def opens() -> list[Scene]:
    """A wedge of 100 degrees that looks to 30: at the start, half through, and at the end."""
    return scenes("opening", "cutaway")


def faces(scene: Scene) -> np.ndarray:
    """The directions that cut faces look to, each once, shape (n, 3)."""
    normals = [s.normals for s in scene.surfaces if s.finish == "cut"]
    return np.unique(np.round(np.concatenate(normals), 7), axis=0) if normals else np.empty((0, 3))


def test_at_the_start_nothing_is_cut(opens: list[Scene]) -> None:
    assert len(faces(opens[0])) == 0


def test_at_the_start_the_cover_is_all_there(opens: list[Scene]) -> None:
    """4 pi R^2, but for the chords of its triangles: under a thousandth."""
    (skin,) = [s for s in opens[0].surfaces if s.name == "cover"]
    a, b, c = (skin.points_mm[skin.triangles[:, k]] for k in range(3))
    area = float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2.0)
    assert area == pytest.approx(4.0 * np.pi * RADIUS_MM**2, rel=1e-3)


def test_at_the_end_the_wedge_has_the_angle_that_was_asked(opens: list[Scene]) -> None:
    """Its two walls look at each other; their normals stand 180 degrees less that angle apart."""
    one, other = faces(opens[-1])
    apart = np.degrees(np.arccos(one @ other))
    assert 180.0 - apart == pytest.approx(100.0, abs=1e-4)


def test_the_wedge_looks_where_it_was_asked_to(opens: list[Scene]) -> None:
    middle = faces(opens[-1]).sum(axis=0)
    assert np.degrees(np.arctan2(middle[1], middle[0])) == pytest.approx(30.0, abs=1e-4)


def test_nothing_that_is_poured_round_the_core_is_left_in_the_wedge(
    opens: list[Scene],
) -> None:
    """Skin of outer core and cover, half a degree inside the walls."""
    poured = [s for s in opens[-1].surfaces if s.name != "inner core" and s.finish == "skin"]
    points = np.concatenate([s.points_mm for s in poured])
    points = points[np.hypot(points[:, 0], points[:, 1]) > 1.0]  # an azimuth needs a lever
    turn = np.degrees(np.arctan2(points[:, 1], points[:, 0])) - 30.0
    assert np.abs((turn + 180.0) % 360.0 - 180.0).min() > 49.5


def test_the_wedge_opens_and_never_closes(opens: list[Scene]) -> None:
    """A wider wedge leaves less of the cover."""
    left = []
    for scene in opens:
        skin = [s for s in scene.surfaces if s.name == "cover" and s.finish == "skin"]
        corners = np.concatenate([s.points_mm[s.triangles] for s in skin])
        a, b, c = (corners[:, k] for k in range(3))
        left.append(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum())
    assert (np.diff(left) <= 1e-6 * left[0]).all()


# apart


def stacked(scene: Scene) -> list[tuple[float, float]]:
    """From where to where each piece reaches along the pin axis, from below, mm."""
    pieces: dict[tuple[int, float], list[np.ndarray]] = {}
    for s in scene.surfaces:
        points = s.pose.placed(s.points_mm)[:, 2]
        pieces.setdefault((s.part, s.pose.shift_mm[2]), []).append(points)
    ends = [np.concatenate(found) for found in pieces.values()]
    return sorted((float(z.min()), float(z.max())) for z in ends)


def test_it_starts_with_every_piece_at_home() -> None:
    shifts = [s.pose.shift_mm for s in take("apart", "exploded").at(0.0).surfaces]
    assert set(shifts) == {(0.0, 0.0, 0.0)}


def test_far_out_no_piece_reaches_into_another() -> None:
    """A core and two halves of two shells, with gaps of 0.15 R as they are drawn apart."""
    pieces = stacked(take("apart", "exploded").at(0.5))
    gaps = [above[0] - below[1] for below, above in pairwise(pieces)]
    assert gaps == pytest.approx([0.15 * RADIUS_MM] * 4, abs=0.1)  # strokes lie 0.02 mm proud


def test_words_come_when_there_is_room_for_them() -> None:
    """None at home, all of them far out."""
    found = take("apart", "exploded")
    near, far = ({label.fade for label in found.at(share).labels} for share in (0.0, 0.5))
    assert (near, far) == ({0.0}, {1.0})
