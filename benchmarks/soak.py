"""Thousands of random bodies of every family and composition: none may crash, hang or disagree.

    python benchmarks/soak.py --count 2000 --seed 1

Every body is drawn with its parameters and placement, is either refused with a reason or weighed by
two routes: its own moments against the boundary of its solid, or, where it takes solids to weigh it
at all, that boundary against a fine mesh within the mesh's bound.  The table that is printed is the
one in docs/accuracy.md.  A run with the same count and seed draws the same bodies.
"""

from __future__ import annotations

import argparse
import multiprocessing
import resource
import signal
import sys
import time
from collections import Counter, defaultdict
from pathlib import Path
from typing import NamedTuple

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from shapes.compose import Cut, Join, Mirror, Repeat
from shapes.composed import Composed
from shapes.errors import ShapeError, SolidError
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.registry import FAMILIES
from shapes.shape import Shape
from tests.reference.drawn_bodies import DRAWN, drawn_parameters, drawn_shape

COMPOSED = ("join", "cut", "mirror", "repeat")
PATIENCE_S = 120
RG_IN, VOLUME_SHARE = 1e-6, 1e-7  # what is promised of the boundary route


class Result(NamedTuple):
    """What became of one draw."""

    word: str
    outcome: str  # agree, mesh, refused, kernel refused, DISAGREE, CRASH, HANG
    rg_in: float
    volume: float
    seconds: float
    said: str
    memory_mb: float


def draw(seed: int, k: int) -> tuple[str, Shape]:
    """The k-th body; raises ShapeError where its family refuses it."""
    g = np.random.default_rng([seed, k])
    composed = k % 4 == 3
    word = COMPOSED[(k // 4) % 4] if composed else DRAWN[(k - k // 4) % len(DRAWN)]
    if not composed:
        return word, FAMILIES[word](**drawn_parameters(word, g))

    def body(reach: float) -> Placed:
        turns = [float(a) for a in g.choice([0.0, 90.0, 30.0, *g.uniform(0, 360, 3)], 3)]
        x, y, z = (float(m) for m in g.uniform(-reach, reach, 3))
        return Placed(drawn_shape(str(g.choice(DRAWN)), g), Placement(*turns, (x, y, z)))

    count = int(g.integers(2, 4))
    made: dict[str, object] = {
        "join": lambda: Join(tuple(body(30.0) for _ in range(count))),
        "cut": lambda: Cut(body(5.0), tuple(body(55.0) for _ in range(count - 1))),
        "mirror": lambda: Mirror(
            body(35.0), str(g.choice(["x", "y", "z"])), str(g.choice(["both", "image"]))
        ),
        "repeat": lambda: Repeat(body(35.0), count + 1),
    }
    return word, made[word]()  # type: ignore[operator]


def try_one(task: tuple[int, int]) -> Result:
    """Draw, weigh and compare one body, within the patience there is."""
    seed, k = task
    word = COMPOSED[(k // 4) % 4] if k % 4 == 3 else DRAWN[(k - k // 4) % len(DRAWN)]
    start = time.perf_counter()

    def result(outcome: str, said: str = "", rg: float = 0.0, volume: float = 0.0) -> Result:
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
        return Result(word, outcome, rg, volume, time.perf_counter() - start, said, memory)

    def late(*_: object) -> None:
        raise TimeoutError

    signal.signal(signal.SIGALRM, late)
    signal.alarm(PATIENCE_S)
    try:
        return result(*compared(draw(seed, k)[1]))
    except ShapeError as error:
        return result("refused", error.reason)
    except SolidError as error:
        return result("kernel refused", f"{k}: {error}")
    except TimeoutError:
        return result("HANG", f"{k}: more than {PATIENCE_S} s")
    except Exception as error:  # the very thing that is looked for
        return result("CRASH", f"{k}: {type(error).__name__}: {error}")
    finally:
        signal.alarm(0)


def compared(shape: Shape) -> tuple[str, str, float, float]:
    """Two routes to the moments: outcome, what to say, difference in in of RG and of volume."""
    from shapes.boundary import moments_of_solid
    from shapes.facets import facets_of
    from tests.reference.gaps import MM_PER_IN, gaps
    from tests.reference.mesh_inertia import layer, mesh_moments

    if isinstance(shape, Composed):
        shape.prove()
    solid = shape.solid()
    own, built = shape.moments(), moments_of_solid(solid)
    gap = gaps(built, own)
    if shape.exact:
        good = gap.rg_in <= RG_IN and gap.volume <= VOLUME_SHARE
        return (
            "agree" if good else "DISAGREE",
            str(shape) if not good else "",
            gap.rg_in,
            gap.volume,
        )
    mesh = facets_of(solid, 0.05, 0.1)
    found = gaps(mesh_moments(mesh), own)
    held, second = layer(mesh, own.centroid_mm())
    low = float(np.sqrt(np.linalg.eigvalsh(own.inertia_mm5())[0] / own.volume_mm3))
    bound_in = (second + low**2 * held) / own.volume_mm3 / (2 * low) / MM_PER_IN
    good = found.rg_in <= bound_in
    return "mesh" if good else "DISAGREE", str(shape) if not good else "", found.rg_in, found.volume


def main() -> None:
    """Run the soak and print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=1)
    asked = parser.parse_args()
    tasks = [(asked.seed, k) for k in range(asked.count)]
    results = []
    with multiprocessing.get_context("spawn").Pool(asked.workers) as pool:
        for result in pool.imap_unordered(try_one, tasks, chunksize=1):
            results.append(result)
            if result.outcome in ("DISAGREE", "CRASH", "HANG", "kernel refused"):
                print(
                    f"{result.word}: {result.outcome}: {result.said}", file=sys.stderr, flush=True
                )
            if len(results) % 100 == 0:
                print(f"{len(results)} of {asked.count}", file=sys.stderr, flush=True)
    print(table(results))
    sys.exit(any(r.outcome in ("DISAGREE", "CRASH", "HANG") for r in results))


def table(results: list[Result]) -> str:
    """The outcome family by family, as Markdown."""
    by_word: dict[str, list[Result]] = defaultdict(list)
    for result in results:
        by_word[result.word].append(result)
    lines = [
        "| shape | drawn | refused | weighed | RG, in | share of volume | slowest, s |",
        "| --- | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    for word in (w for w in FAMILIES if w in by_word):
        found = by_word[word]
        own = [r for r in found if r.outcome == "agree"]
        meshed = [r for r in found if r.outcome == "mesh"]
        refused = [r for r in found if "refused" in r.outcome]
        rg = f"{max(r.rg_in for r in own):.0e}" if own else ""
        volume = f"{max(r.volume for r in own):.0e}" if own else ""
        if meshed:
            rg += f" ({max(r.rg_in for r in meshed):.0e} to the mesh)"
        slowest, weighed = max(r.seconds for r in found), len(own) + len(meshed)
        lines.append(
            f"| {word} | {len(found)} | {len(refused)} | {weighed} | {rg} | {volume} "
            f"| {slowest:.1f} |"
        )
    outcomes = Counter(r.outcome for r in results)
    told = ", ".join(f"{count} {outcome}" for outcome, count in sorted(outcomes.items()))
    peak = max(r.memory_mb for r in results)
    return "\n".join([*lines, "", f"{told}; at most {peak:.0f} MB of memory in use"])


if __name__ == "__main__":
    main()
