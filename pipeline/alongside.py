"""Work that goes on in a thread of its own while what it works on is still being made."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from enum import Enum
from queue import Queue
from threading import Thread
from typing import TypeVar

T = TypeVar("T")


class _End(Enum):
    """Why nothing more is handed over."""

    DONE = "all there is was handed over"
    BROKEN = "what makes it has failed"


class _Broken(Exception):
    """Ends the work where it stands."""


@contextmanager
def alongside(work: Callable[[Iterator[T]], None], ahead: int = 2) -> Iterator[Callable[[T], None]]:
    """Run `work` in another thread on what is handed over; yields the function that does that.

    The thread has ended when the block is left.  When the block fails, what was handed over is
    still worked on; then the iterator that `work` reads raises instead of ending, so that it can
    tell half of a thing from the whole of it.

    Args:
        work: reads its argument to the end.
        ahead: how many things may wait; whoever hands over one more is held up.

    Raises:
        BaseException: what `work` raised, from the next hand-over or at the end of the block.
    """
    belt: Queue[T | _End] = Queue(ahead)
    failed: list[BaseException] = []

    over = False

    def taken() -> Iterator[T]:
        nonlocal over
        while not isinstance(thing := belt.get(), _End):
            yield thing
        over = True
        if thing is _End.BROKEN:
            raise _Broken

    def run() -> None:
        try:
            work(taken())
        except _Broken:
            pass
        except BaseException as error:
            failed.append(error)
        with suppress(_Broken):  # make room, so that nobody waits for it for ever
            while not over:
                deque(taken(), maxlen=0)

    def hand_over(thing: T) -> None:
        if failed:
            raise failed[0]
        belt.put(thing)

    thread = Thread(target=run, daemon=True)
    thread.start()
    end = _End.BROKEN
    try:
        yield hand_over
        end = _End.DONE
    finally:
        belt.put(end)
        thread.join()
    if failed:
        raise failed[0]
