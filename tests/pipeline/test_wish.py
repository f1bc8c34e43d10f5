"""Wishes: what a view does not take is refused with what it takes, and so are absurd angles."""

from __future__ import annotations

from dataclasses import fields

import pytest

from pipeline.errors import OutputError
from pipeline.view_list import SHARED_VIEWS, VIEWS
from pipeline.wish import AS_IT_SUITS, SAID, Wish

ALL = frozenset(SAID)
ONE_OF_EACH = [
    (Wish(toward_deg=30.0), "--toward"),
    (Wish(opening_deg=90.0), "--opening"),
    (Wish(faces="plain"), "--faces"),
    (Wish(from_deg=0.0), "--from"),
    (Wish(above_deg=0.0), "--above"),
    (Wish(number="inner core.height"), "--number"),
]


@pytest.mark.parametrize(("wish", "option"), ONE_OF_EACH)
def test_what_a_view_does_not_take_is_refused(wish: Wish, option: str) -> None:
    with pytest.raises(OutputError) as error:
        wish.check("whole", frozenset())
    assert str(error.value) == f"the view 'whole' takes no {option}; what it takes: nothing"


@pytest.mark.parametrize(("wish", "option"), ONE_OF_EACH)
def test_a_refusal_says_what_is_taken_in_the_order_of_the_options(wish: Wish, option: str) -> None:
    field = next(name for name, said in SAID.items() if said == option)
    others = ", ".join(said for said in SAID.values() if said != option)
    with pytest.raises(OutputError) as error:
        wish.check("half", ALL - {field})
    assert str(error.value) == f"the view 'half' takes no {option}; what it takes: {others}"


@pytest.mark.parametrize("wish", [wish for wish, _ in ONE_OF_EACH])
def test_what_a_view_takes_is_let_through(wish: Wish) -> None:
    assert wish.check("cutaway", ALL) is None


def test_nothing_asked_is_let_through_everywhere() -> None:
    assert AS_IT_SUITS.check("whole", frozenset()) is None


@pytest.mark.parametrize("opening", [9.9, 0.0, -120.0, 300.1, float("nan")])
def test_an_opening_that_cannot_be_drawn_is_refused(opening: float) -> None:
    with pytest.raises(OutputError) as error:
        Wish(opening_deg=opening).check("cutaway", ALL)
    said = f"an opening of {opening:g} deg cannot be drawn; it may be from 10 to 300"
    assert str(error.value) == said


@pytest.mark.parametrize("opening", [10.0, 300.0])
def test_an_opening_at_its_bounds_is_let_through(opening: float) -> None:
    assert Wish(opening_deg=opening).check("cutaway", ALL) is None


@pytest.mark.parametrize("above", [80.1, -80.1, 90.0, float("nan")])
def test_a_viewer_too_far_above_or_below_is_refused(above: float) -> None:
    with pytest.raises(OutputError) as error:
        Wish(above_deg=above).check("core", ALL)
    assert str(error.value) == f"{above:g} deg above cannot be drawn; it may be from -80 to 80"


@pytest.mark.parametrize("above", [-80.0, 80.0])
def test_a_viewer_as_far_above_or_below_as_may_be_is_let_through(above: float) -> None:
    assert Wish(above_deg=above).check("core", ALL) is None


@pytest.mark.parametrize("angle", [360.1, -361.0, 1e9, float("nan")])
@pytest.mark.parametrize("field", ["toward_deg", "from_deg"])
def test_what_is_no_azimuth_is_refused(field: str, angle: float) -> None:
    with pytest.raises(OutputError) as error:
        Wish(**{field: angle}).check("half", ALL)
    assert str(error.value) == f"{angle:g} is no azimuth; give it from -360 to 360 deg"


@pytest.mark.parametrize("angle", [-360.0, 0.0, 360.0])
@pytest.mark.parametrize("field", ["toward_deg", "from_deg"])
def test_an_azimuth_all_round_either_way_is_let_through(field: str, angle: float) -> None:
    assert Wish(**{field: angle}).check("half", ALL) is None


def test_every_wish_has_an_option() -> None:
    assert [field.name for field in fields(Wish)] == list(SAID)


def test_every_wish_but_that_of_films_is_heeded_by_some_view() -> None:
    taken = frozenset().union(*(view.takes for view in (*VIEWS.values(), *SHARED_VIEWS.values())))
    assert taken == ALL - {"number"}


@pytest.mark.parametrize(
    ("wish", "hatched"),
    [(Wish(), True), (Wish(faces="hatched"), True), (Wish(faces="plain"), False)],
)
def test_faces_are_hatched_unless_plain_ones_are_asked_for(wish: Wish, hatched: bool) -> None:
    assert wish.hatched is hatched
