"""A map of a design space: many balls weighed, chunk by chunk, and what was done is never lost.

While it runs, the chunks that are done lie in a folder beside the target, named after it with
`.unfinished`.  The same command goes on from there; when all are done the target is made from them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from pipeline.crew import Crew, done
from pipeline.design import Design
from pipeline.folder import check_target, whole_file
from pipeline.nest import nest_of
from pipeline.rows import WHY, Rows, weigh_rows
from pipeline.samples import Samples, values_of
from pipeline.unfinished import begin, end
from pipeline.wanted import AIMED

if TYPE_CHECKING:
    import pyarrow as pa

_FAST, _SLOW = 20_000, 100  # rows a chunk: a fraction of a second, or a few
_OTHER = "another sweep (another design, other samples, or another release of Corewright)"


@dataclass(frozen=True)
class Plan:
    """What to weigh.

    Attributes:
        design: with what varies.
        samples: where.
    """

    design: Design
    samples: Samples

    @property
    def rows(self) -> int:
        """How many balls."""
        return self.samples.count

    @property
    def chunk_rows(self) -> int:
        """How many of them a chunk has."""
        nests = nest_of(self.design, self.design.wanted.varied) is not None
        return _FAST if nests else _SLOW

    @property
    def chunks(self) -> int:
        """How many chunks."""
        return -(-self.rows // self.chunk_rows)

    def names(self) -> list[str]:
        """The columns of the table, with their units."""
        varied = [f"{v.name} [{v.unit}]" if v.unit else v.name for v in self.design.wanted.varied]
        return ["row", *varied, *figure_names(), "free density [g/cm3]", "why"]

    def said(self) -> dict[str, Any]:
        """What makes two plans the same."""
        return {
            "made from": self.design.hashes(),
            "samples": repr(self.samples),
            "chunk_rows": self.chunk_rows,
            "version": version("corewright"),
        }


def figure_names() -> list[str]:
    """The columns of the figures, with their units."""
    return [f"{name} [{figure.unit}]" for name, figure in AIMED.items()]


def weigh_chunk(plan: Plan, chunk: int) -> pa.Table:
    """The rows of one chunk as a table."""
    first = chunk * plan.chunk_rows
    last = min(first + plan.chunk_rows, plan.rows)
    varied = plan.design.wanted.varied
    values = values_of(varied, plan.samples, first, last)
    return table_of(plan, first, values, weigh_rows(plan.design, varied, values))


def table_of(plan: Plan, first: int, values: np.ndarray, rows: Rows) -> pa.Table:
    """Rows as a table in the units that people read."""
    import pyarrow as pa

    varied = plan.design.wanted.varied
    count = len(rows)
    columns: list[Any] = [np.arange(first, first + count)]
    columns += [values[:, k] / v.size for k, v in enumerate(varied)]
    columns += [rows.figures[name] / figure.size for name, figure in AIMED.items()]
    columns += [rows.free_g_cm3, pa.array([WHY[k] for k in rows.why], pa.string())]
    return pa.table(dict(zip(plan.names(), columns, strict=True)))


def run(
    plan: Plan, target: Path, crew: Crew, told: Callable[[int, int], None] = lambda _a, _b: None
) -> list[Path]:
    """Weigh what is not weighed yet; the files of all chunks, in order.

    Args:
        plan: what to weigh.
        target: the folder that will be made of it.
        crew: who does it.
        told: called with the chunks done and those there are.

    Raises:
        OutputError: chunks of another plan lie there, or the target cannot be written.
    """
    check_target(target, "sweep")
    place = begin(target, plan.said(), _OTHER)
    files = [place / f"chunk-{k:07d}.parquet" for k in range(plan.chunks)]
    left = [k for k, file in enumerate(files) if not _sound(file)]
    told(plan.chunks - len(left), plan.chunks)
    for finished, (k, table) in enumerate(done(partial(weigh_chunk, plan), left, crew), 1):
        _write(table, files[k])
        told(plan.chunks - len(left) + finished, plan.chunks)
    return files


def _sound(file: Path) -> bool:
    """Whether a chunk is there; it was given its name only when it was whole."""
    return file.is_file()


def _write(table: pa.Table, file: Path) -> None:
    import pyarrow.parquet as pq

    with whole_file(file) as path:
        pq.write_table(table, path, compression="zstd")


def close(target: Path) -> None:
    """Remove the chunks, once the target is made."""
    end(target)


def tables(files: list[Path]) -> Iterator[pa.Table]:
    """The chunks one after the other."""
    import pyarrow.parquet as pq

    for file in files:
        yield pq.read_table(file)
