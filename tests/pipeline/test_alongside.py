"""Work alongside: in order, held up when too far ahead, and never left waiting."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator

import pytest

from pipeline.alongside import alongside


class MakerBroken(Exception):
    pass


class WorkBroken(Exception):
    pass


def hand_over_all(work: Callable[[Iterator[int]], None], count: int) -> None:
    with alongside(work) as hand_over:
        for k in range(count):
            hand_over(k)


def refuse_the_third(things: Iterator[int]) -> None:
    for thing in things:
        if thing == 2:
            raise WorkBroken


def take_one(things: Iterator[int]) -> None:
    next(things)


def test_everything_is_worked_on_in_order() -> None:
    seen: list[int] = []
    hand_over_all(seen.extend, 100)
    assert seen == list(range(100))


def test_work_is_done_in_another_thread() -> None:
    seen: list[int] = []
    hand_over_all(lambda things: seen.extend(threading.get_ident() for _ in things), 1)
    assert seen != [threading.get_ident()]


def test_the_maker_is_held_up_when_too_far_ahead() -> None:
    worked, ahead = [0], []

    def work(things: Iterator[int]) -> None:
        for _ in things:
            worked[0] += 1

    with alongside(work, ahead=2) as hand_over:
        for k in range(200):
            hand_over(k)
            ahead.append(k + 1 - worked[0])
    assert max(ahead) <= 4  # two that wait, one in work, one that is about to be counted


def test_an_error_of_the_work_reaches_the_maker() -> None:
    with pytest.raises(WorkBroken):
        hand_over_all(refuse_the_third, 100)


def test_an_error_on_the_last_thing_is_not_lost() -> None:
    with pytest.raises(WorkBroken):
        hand_over_all(refuse_the_third, 3)


def test_work_that_stops_reading_holds_nobody_up() -> None:
    before = set(threading.enumerate())
    hand_over_all(take_one, 100)
    assert set(threading.enumerate()) <= before


def half_made(ended: list[str]) -> None:
    def work(things: Iterator[int]) -> None:
        try:
            ended.append(f"{len(list(things))} things")
        except Exception as error:
            ended.append(type(error).__name__)
            raise

    with alongside(work) as hand_over:
        hand_over(1)
        raise MakerBroken


def test_an_error_of_the_maker_goes_on_its_way() -> None:
    with pytest.raises(MakerBroken):
        half_made([])


def test_half_of_the_things_are_not_taken_for_all() -> None:
    ended: list[str] = []
    with pytest.raises(MakerBroken):
        half_made(ended)
    assert ended == ["_Broken"]


def test_no_thread_outlives_its_block() -> None:
    before = set(threading.enumerate())
    with pytest.raises(MakerBroken):
        half_made([])
    assert set(threading.enumerate()) <= before
