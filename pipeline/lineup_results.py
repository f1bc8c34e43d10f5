"""A line of balls told to people and machines, and handed over: designs, table, chart."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from pipeline.charts import line_chart
from pipeline.check import ESTIMATE
from pipeline.design import Design
from pipeline.errors import CorewrightError
from pipeline.folder import whole_folder
from pipeline.limits import AS_OF, limits_on_rg
from pipeline.lineup import Carried
from pipeline.naming import file_stem
from pipeline.sweep_results import write_listing
from pipeline.units import G_PER_LB
from pipeline.wanted import AIMED, Aim, spelled

_TOLD = ("low_rg", "total_differential", "intermediate_differential", "top_weight", "core_mass")
_DIGITS = {"in": 4, "lb": 3, "oz": 2}


class WeightsError(CorewrightError):
    """The weights of a command cannot be read."""


def parse_weights(text: str) -> tuple[float, ...]:
    """Weights such as '16,15,14' in pounds, as grams; none for nothing.

    Raises:
        WeightsError: they are no list of weights.

    >>> [round(w / 453.59237, 3) for w in parse_weights("16, 15.5")]
    [16.0, 15.5]
    """
    if not text.strip():
        return ()
    try:
        found = tuple(float(word.strip().removesuffix("lb")) * G_PER_LB for word in text.split(","))
    except ValueError:
        found = ()
    if not found or not all(0.0 < w < 100.0 * G_PER_LB for w in found):
        raise WeightsError(f"'{text}' is no list of ball weights in lb, such as 16,15,14")
    return found


def told(design: Design, line: Sequence[Carried]) -> str:
    """The line as a page of text."""
    met = sum(one.met for one in line)
    names = list(dict.fromkeys(m for one in line for m in one.densities))
    head = f"  {'lb':>6}" + "".join(f"{spelled(n):>28}" for n in _TOLD[:3])
    lines = [
        f"{design.name}, revision {design.revision}: {met} of {len(line)} weights hold all windows",
        f"limits as of {AS_OF}; {ESTIMATE}",
        "",
        head + f"{'top weight':>14}{'core mass':>14}{'core size':>11}",
    ]
    for one in line:
        sign = "✓" if one.met else "✗"
        if not one.source:
            lines.append(f"{sign} {one.weight_g / G_PER_LB:>6g}  no such ball")
            continue
        cells = [_cell(one.figures[n], n) for n in _TOLD]
        lines.append(
            f"{sign} {one.weight_g / G_PER_LB:>6g}"
            + "".join(f"{c:>28}" for c in cells[:3])
            + f"{cells[3]:>14}{cells[4]:>14}{one.size:>11g}"
        )
    lines += ["", "  densities, g/cm3", f"  {'lb':>6}" + "".join(f"{n:>16}" for n in names)]
    for one in line:
        cells = [f"{one.densities[n]:.4f}" if n in one.densities else "" for n in names]
        lines.append(f"  {one.weight_g / G_PER_LB:>6g}" + "".join(f"{c:>16}" for c in cells))
    for one in line:
        if one.why:
            lines += ["", f"{one.weight_g / G_PER_LB:g} lb: {one.why}"]
    unknown = [
        one
        for one in line
        if len(limits_on_rg(one.weight_g)) < len(limits_on_rg(None)) and one.source
    ]
    if unknown:
        said = ", ".join(f"{one.weight_g / G_PER_LB:g}" for one in unknown)
        lines += ["", f"the limits on RG and differential are not known at {said} lb"]
    return "\n".join(line.rstrip() for line in lines)


def _cell(value: float, name: str) -> str:
    figure = AIMED[name]
    return f"{value / figure.size:.{_DIGITS[figure.unit]}f} {figure.unit}"


def as_figures(design: Design, line: Sequence[Carried]) -> dict[str, Any]:
    """The same for machines."""
    return {
        "design": {"name": design.name, "revision": design.revision, "sha256": design.sha256},
        "note": ESTIMATE,
        "weights": [
            {
                "weight_lb": round(one.weight_g / G_PER_LB, 6),
                "met": one.met,
                "densities": {n: round(d, 6) for n, d in one.densities.items()},
                "core_size": one.size,
                "figures": {
                    f"{n}_{AIMED[n].unit}": None if np.isnan(v) else round(v / AIMED[n].size, 7)
                    for n, v in one.figures.items()
                },
                "why": one.why or None,
            }
            for one in line
        ],
    }


def write_line(design: Design, line: Sequence[Carried], target: Path) -> None:
    """Make the folder of a line, whole or not at all."""
    with whole_folder(target, "lineup") as work:
        folder = work.path
        taken: list[str] = []
        for one in line:
            if one.source:
                stem = file_stem(f"{design.name}-{one.weight_g / G_PER_LB:g}-lb", taken)
                taken.append(stem)
                (folder / f"{stem}.yaml").write_bytes(one.source)
        for attachment in design.attachments:
            path = folder / attachment.name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(attachment.data)
        (folder / "lineup.csv").write_text(_table(line), "utf-8", newline="")
        (folder / "lineup.png").write_bytes(_chart(design, line))
        text = f"# {design.name}: the line\n\n```text\n{told(design, line)}\n```\n\n"
        text += "![figures across ball weights](lineup.png)\n"
        (folder / "README.md").write_text(text, "utf-8", newline="\n")
        write_listing(folder, design, "lineup")


def _table(line: Sequence[Carried]) -> str:
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    names = list(dict.fromkeys(m for one in line for m in one.densities))
    writer.writerow(
        ["weight [lb]", "met", "core size"]
        + [f"{n} [g/cm3]" for n in names]
        + [f"{n} [{figure.unit}]" for n, figure in AIMED.items()]
        + ["why"]
    )
    for one in line:
        writer.writerow(
            [f"{one.weight_g / G_PER_LB:g}", "yes" if one.met else "no", f"{one.size:g}"]
            + [f"{one.densities[n]:.5f}" if n in one.densities else "" for n in names]
            + [
                f"{one.figures[n] / figure.size:.7f}"
                if n in one.figures and not np.isnan(one.figures[n])
                else ""
                for n, figure in AIMED.items()
            ]
            + [one.why]
        )
    return stream.getvalue()


def _chart(design: Design, line: Sequence[Carried]) -> bytes:
    hold = {aim.figure: aim for aim in design.wanted.line.hold}
    names = ["low_rg", "total_differential"]
    names += [n for n in AIMED if n in hold and n not in names and n != "mass"]
    weights = np.array([one.weight_g / G_PER_LB for one in line])
    figures = {}
    for name in names:
        figure = AIMED[name]
        values = np.array([one.figures.get(name, np.nan) / figure.size for one in line])
        figures[f"{spelled(name)}, {figure.unit}"] = values, _window(hold.get(name))
    return line_chart(weights, figures, f"{design.name}: one core, {len(line)} ball weights")


def _window(aim: Aim | None) -> np.ndarray:
    if aim is None:
        return np.full(2, np.nan)
    size = AIMED[aim.figure].size
    return np.array([np.nan if end is None else end / size for end in (aim.low, aim.high)])
