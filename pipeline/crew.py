"""Work that falls into independent chunks, done here or by a crew of workers, on Dask.

A chunk's result depends on nothing but the chunk, so that it is the same whoever does it.  Only a
few chunks are under way at any time: memory stays bounded however many there are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING, TypeVar

from pipeline.errors import CorewrightError

if TYPE_CHECKING:
    from distributed import Client

T = TypeVar("T")
_AHEAD = 2  # chunks a worker has in hand, so that it never waits for the next


class CrewError(CorewrightError):
    """The workers cannot be had, or went away."""


@dataclass(frozen=True)
class Crew:
    """Who does the work.

    Attributes:
        workers: how many processes to start on this machine; none for this process itself.
        scheduler: the address of a scheduler that runs already, such as tcp://127.0.0.1:8786.
    """

    workers: int = 0
    scheduler: str = ""

    def __post_init__(self) -> None:
        if self.workers < 0:
            raise CrewError(f"{self.workers} workers; at least 1, or 0 for this process")
        if self.workers and self.scheduler:
            raise CrewError("either workers of our own or a scheduler, not both")


def done(work: Callable[[int], T], chunks: Iterable[int], crew: Crew) -> Iterator[tuple[int, T]]:
    """Every chunk with its result, as each is done.

    Args:
        work: what to do with a chunk; it must pickle.
        chunks: their numbers.
        crew: who does it.  This process does one after the other.

    Raises:
        CrewError: there is no such scheduler, or a chunk took its worker down several times.
    """
    if not crew.workers and not crew.scheduler:
        from dask.base import compute
        from dask.delayed import delayed

        for k in chunks:
            (result,) = compute(delayed(work, pure=False)(k), scheduler="synchronous")
            yield k, result
        return
    with _client(crew) as client:
        yield from _by_workers(work, iter(chunks), client)


def _by_workers(
    work: Callable[[int], T], chunks: Iterator[int], client: Client
) -> Iterator[tuple[int, T]]:
    from distributed import as_completed
    from distributed.client import FutureCancelledError
    from distributed.scheduler import KilledWorker

    threads = max(1, sum(client.nthreads().values()))
    numbers = {}

    def hand_out(k: int) -> object:
        future = client.submit(work, k, pure=False)
        numbers[future.key] = k
        return future

    under_way = as_completed([hand_out(k) for k in islice(chunks, _AHEAD * threads)])
    try:
        for future in under_way:
            result = future.result()
            for k in islice(chunks, 1):
                under_way.add(hand_out(k))
            yield numbers.pop(future.key), result
    except (KilledWorker, FutureCancelledError) as error:
        raise CrewError(
            f"the workers went away ({type(error).__name__}); what was written stays, and the same "
            "command goes on from there"
        ) from error


@contextmanager
def _client(crew: Crew) -> Iterator[Client]:
    import logging

    from distributed import Client, LocalCluster

    for name in ("distributed", "tornado"):  # what goes wrong is told by us, and once
        logging.getLogger(name).setLevel(logging.CRITICAL)
    if crew.scheduler:
        try:
            client = Client(crew.scheduler, timeout=10)
        except (OSError, ValueError) as error:
            raise CrewError(f"no scheduler answers at {crew.scheduler}: {error}") from error
        with client:
            if not client.nthreads():
                raise CrewError(f"the scheduler at {crew.scheduler} has no workers yet")
            yield client
        return
    with (
        LocalCluster(
            n_workers=crew.workers,
            threads_per_worker=1,
            processes=True,
            host="127.0.0.1",
            dashboard_address=None,
        ) as cluster,
        Client(cluster) as client,
    ):
        yield client
