"""What a finished sweep is handed over as: a table twice, charts, the design, and a letter."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from pipeline.bands import BANDS
from pipeline.charts import curve_chart, rg_map
from pipeline.check import ESTIMATE
from pipeline.contours import contour_map
from pipeline.design import Design
from pipeline.folder import FORMAT, MANIFEST, whole_folder
from pipeline.front import costs_of, on_front
from pipeline.limits import AS_OF
from pipeline.rows import WHY
from pipeline.samples import Grid, Line
from pipeline.sweep import Plan, tables
from pipeline.vary import numbers_at
from pipeline.wanted import AIMED
from shapes.moments import Array

if TYPE_CHECKING:
    import pyarrow as pa

TABLE = "sweep.parquet"
_MOST_SHOWN = 200_000  # points of a map: more would only be drawn over one another
_RG, _TOTAL = "low_rg [in]", "total_differential [in]"


@dataclass(frozen=True)
class Swept:
    """What came of a sweep.

    Attributes:
        rows: balls asked for.
        good: those that there are.
        why: by what stands in their way, how many of the others.
        low_rg_in, total_in: their least and greatest; None when there is no ball.
    """

    rows: int
    good: int
    why: dict[str, int]
    low_rg_in: tuple[float, float] | None
    total_in: tuple[float, float] | None


def write_sweep(plan: Plan, files: Sequence[Path], target: Path) -> Swept:
    """Make the folder of a sweep, whole or not at all, from the files of its chunks."""
    with whole_folder(target, "sweep") as work:
        folder = work.path
        swept, shown = _write_tables(plan, files, folder)
        for name, picture in _charts(plan, shown).items():
            (folder / name).write_bytes(picture)
        if isinstance(plan.samples, Line):
            _write_frames(plan, shown, folder)
        write_sources(plan.design, folder)
        (folder / "README.md").write_text(_letter(plan, swept), "utf-8", newline="\n")
        write_listing(folder, plan.design, "sweep")
    return swept


def _write_tables(
    plan: Plan, files: Sequence[Path], folder: Path
) -> tuple[Swept, dict[str, Array]]:
    """The table as Parquet and CSV, a chunk in memory at a time."""
    import pyarrow as pa
    import pyarrow.csv
    import pyarrow.parquet

    why: dict[str, int] = {}
    kept: list[Any] = []
    stride = max(1, -(-plan.rows // _MOST_SHOWN))
    parquet: Any = None
    best: Any = None
    spans = [(np.inf, -np.inf), (np.inf, -np.inf)]
    with (folder / "sweep.csv").open("wb") as stream:
        for number, table in enumerate(tables(list(files))):
            if parquet is None:
                parquet = pyarrow.parquet.ParquetWriter(
                    folder / TABLE, table.schema, compression="zstd"
                )
            parquet.write_table(table)
            pyarrow.csv.write_csv(
                _rounded(table), stream, pyarrow.csv.WriteOptions(include_header=number == 0)
            )
            for word, count in zip(*_counted(table["why"]), strict=True):
                why[word] = why.get(word, 0) + count
            for k, name in enumerate((_RG, _TOTAL)):
                column = table[name].to_numpy()
                if np.isfinite(column).any():
                    low, high = float(np.nanmin(column)), float(np.nanmax(column))
                    spans[k] = min(spans[k][0], low), max(spans[k][1], high)
            best = _front(plan, table if best is None else pa.concat_tables([best, table]))
            kept.append(table.take(np.arange((-number * len(table)) % stride, len(table), stride)))
    parquet.close()
    if best is not None:
        with (folder / "front.csv").open("wb") as stream:
            pyarrow.csv.write_csv(_rounded(best), stream)
    shown = {
        name: np.concatenate([t[name].to_numpy() for t in kept])
        for name in plan.names()
        if name != "why"
    }
    good = why.pop("", 0)
    found = [span if span[0] <= span[1] else None for span in spans]
    order = {word: k for k, word in enumerate(WHY)}
    said = dict(sorted(why.items(), key=lambda item: order.get(item[0], 99)))
    return Swept(plan.rows, good, said, found[0], found[1]), shown


def _front(plan: Plan, table: pa.Table) -> pa.Table | None:
    """The rows that none beats in all that is sought and inside all windows; None without two."""
    aims = plan.design.wanted.aims
    seeks = [aim for aim in aims if aim.seek is not None]
    if len(seeks) < 2:
        return None
    figures = {
        aim.figure: table[f"{aim.figure} [{AIMED[aim.figure].unit}]"].to_numpy()
        * AIMED[aim.figure].size
        for aim in aims
    }
    costs = costs_of(seeks, figures)
    for aim in aims:
        low = -np.inf if aim.low is None else aim.low
        high = np.inf if aim.high is None else aim.high
        inside = (low <= figures[aim.figure]) & (figures[aim.figure] <= high)
        costs[~inside] = np.nan
    return table.filter(on_front(costs))


def _counted(column: Any) -> tuple[list[str], list[int]]:
    import pyarrow.compute

    found = pyarrow.compute.value_counts(column.combine_chunks())
    return found.field("values").to_pylist(), found.field("counts").to_pylist()


def _rounded(table: pa.Table) -> pa.Table:
    """As CSV tells it: seven decimals, since the last bits of a float are no figure."""
    import pyarrow as pa
    import pyarrow.compute

    columns = []
    for column in table.columns:
        if pa.types.is_floating(column.type):
            rounded = pyarrow.compute.round(column, 7)
            gone = pyarrow.compute.is_nan(rounded)
            column = pyarrow.compute.if_else(gone, pa.scalar(None, rounded.type), rounded)
        columns.append(column)
    return pa.table(columns, names=table.column_names)


def _write_frames(plan: Plan, shown: dict[str, Array], folder: Path) -> None:
    """Frame by frame the numbers, by the paths of their fields, and the figures."""
    varied = plan.design.wanted.varied
    names = plan.names()
    frames = []
    for k in range(plan.rows):
        figures = {name: float(shown[name][k]) for name in names[1 + len(varied) : -1]}
        values = [float(shown[names[1 + n]][k]) * v.size for n, v in enumerate(varied)]
        frames.append(
            {
                "frame": k,
                "numbers": numbers_at(varied, values),
                "figures": {n: None if np.isnan(v) else round(v, 8) for n, v in figures.items()},
            }
        )
    said = {"design": plan.design.sha256, "numbers_in": "mm, g, g/cm3, deg", "frames": frames}
    text = json.dumps(said, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    (folder / "morph.json").write_text(text, "utf-8", newline="\n")


def _charts(plan: Plan, shown: dict[str, Array]) -> dict[str, bytes]:
    design = plan.design
    varied = design.wanted.varied
    labels = [f"{v.name}, {v.unit}" if v.unit else v.name for v in varied]
    weight = None if any(v.path == "ball.weight" for v in varied) else design.weight_g
    title = f"{design.name}: {plan.rows:,} balls".replace(",", "\u2009")
    found = {"map.png": rg_map(shown[_RG], shown[_TOTAL], title, weight)}
    whole = len(shown[_RG]) == plan.rows and isinstance(plan.samples, Grid)
    names = plan.names()
    if (whole and len(varied) == 1) or isinstance(plan.samples, Line):
        along = labels[0] if len(varied) == 1 else "frame"
        figures = {
            name: shown[f"{key} [in]"]
            for key, name in (
                ("low_rg", "low RG"),
                ("total_differential", "total differential"),
                ("intermediate_differential", "intermediate differential"),
            )
        }
        x = shown[names[1 if len(varied) == 1 else 0]]
        found["curves.png"] = curve_chart(x, figures, along, design.name)
    if whole and len(varied) == 2:
        assert isinstance(plan.samples, Grid)
        n, m = plan.samples.steps
        found["contours.png"] = contour_map(
            shown[names[1]].reshape(n, m)[:, 0],
            shown[names[2]].reshape(n, m)[0],
            shown[_RG].reshape(n, m),
            shown[_TOTAL].reshape(n, m),
            (labels[0], labels[1]),
            design.name,
        )
    return found


def write_sources(design: Design, folder: Path) -> None:
    """The design and the files that it refers to, to go on from."""
    for name, data in (
        ("design.yaml", design.source),
        *((a.name, a.data) for a in design.attachments),
    ):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def write_listing(folder: Path, design: Design, made_by: str) -> None:
    """The manifest of a folder of results: every file in it by size and hash."""
    rows = []
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        with path.open("rb") as stream:  # piece by piece: a table may be large
            digest = hashlib.file_digest(stream, "sha256").hexdigest()
        rows.append(
            {
                "name": path.relative_to(folder).as_posix(),
                "bytes": path.stat().st_size,
                "sha256": digest,
            }
        )
    manifest = {
        "format": FORMAT,
        "made_by": made_by,
        "design": {
            "name": design.name,
            "revision": design.revision,
            "date": design.date,
            "sha256": design.sha256,
        },
        "files": rows,
    }
    text = json.dumps(manifest, indent=1, ensure_ascii=False)
    (folder / MANIFEST).write_text(text + "\n", "utf-8", newline="\n")


def _letter(plan: Plan, swept: Swept) -> str:
    varied = plan.design.wanted.varied
    sought = sum(aim.seek is not None for aim in plan.design.wanted.aims) >= 2
    lines = [
        f"# {plan.design.name}, revision {plan.design.revision}: a map of {swept.rows} balls",
        "",
        *(
            f"- {v.name} from {v.low / v.size:g} to {v.high / v.size:g} {v.unit}".rstrip()
            for v in varied
        ),
        "",
        f"{swept.good} of them are balls.",
        *(f"{count} are not: {word}." for word, count in swept.why.items()),
        "",
        "| file | what it is |",
        "| --- | --- |",
        f"| {TABLE} | every ball a row, in full: what varied, its figures, and why there is none |",
        "| sweep.csv | the same, to seven decimals |",
        "| map.png | low RG against total differential |",
        *(["| front.csv | the rows that none beats in all that is sought |"] if sought else []),
        "| design.yaml | the design that was varied |",
        "",
        f"`corewright pick` writes the design of any row. Limits as of {AS_OF}; {ESTIMATE}. "
        "The words low, medium and high are common practice: of differential, "
        f"{BANDS['total_differential'].source}; of RG, {BANDS['low_rg'].source}.",
    ]
    return "\n".join(lines) + "\n"
