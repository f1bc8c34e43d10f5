"""What a map of layouts is handed over as: a table, charts, the design, and a letter."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import numpy as np

from pipeline.check import ESTIMATE
from pipeline.contours import Layer, contours
from pipeline.drilling import ByDistances
from pipeline.figures import rounded
from pipeline.flare import EXPLANATION
from pipeline.folder import whole_folder
from pipeline.layouts import FIGURES, OPEN, TWO_MARKS, Field, Mapped
from pipeline.palette import CLAY, HIGH_AXIS, INTERMEDIATE_AXIS, LOW_AXIS, TIDE
from pipeline.statics import MOMENT
from pipeline.sweep_results import write_listing, write_sources
from pipeline.units import MM_PER_IN
from shapes.moments import Array

_DIGITS = {"[lb]": 4, "[in]": 5, "[oz]": 3}
_PIN, _VAL = "pin to axis point [in]", "pin to vertical axis line [in]"
NO_LAYOUT = "no such layout"


def write_layouts(field: Field, mapped: Mapped, within_in: float, target: Path) -> None:
    """Make the folder of a map of layouts, whole or not at all."""
    with whole_folder(target, "layouts") as work:
        folder = work.path
        (folder / "layouts.csv").write_text(_table(field, mapped), "utf-8", newline="\n")
        for name, picture in _charts(field, mapped).items():
            (folder / name).write_bytes(picture)
        write_sources(field.ball.design, folder)
        letter = _letter(field, mapped, within_in)
        (folder / "README.md").write_text(letter, "utf-8", newline="\n")
        write_listing(folder, field.ball.design, "layouts")


def as_figures(field: Field, mapped: Mapped, within_in: float) -> dict[str, Any]:
    """The map as plain values, null where there is no such layout."""
    return {
        "design": {
            "name": field.ball.design.name,
            "revision": field.ball.design.revision,
            "sha256": field.ball.design.sha256,
        },
        "pin_to_axis_point_in": [rounded(v / MM_PER_IN, 5) for v in field.to_axis_mm],
        "pin_to_val_in": [rounded(v / MM_PER_IN, 5) for v in field.to_val_mm],
        "rg_within_in": float(f"{within_in:.1e}"),
        "figures": {name: _grid(field, name, mapped.figures[name]) for name in FIGURES},
        "flare_note": EXPLANATION,
        "note": ESTIMATE,
    }


def _grid(field: Field, name: str, values: Array) -> list[list[float | None]]:
    digits = _DIGITS[name.rpartition(" ")[2]]
    return [
        [None if np.isnan(v) else rounded(float(v), digits) for v in row]
        for row in values.reshape(len(field.to_axis_mm), -1)
    ]


def _table(field: Field, mapped: Mapped) -> str:
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow([_PIN, _VAL, *FIGURES, "why"])
    for k in range(field.count):
        distances = [f"{d / MM_PER_IN:.5f}" for d in field.distances(k)]
        values = [mapped.figures[name][k] for name in FIGURES]
        told = [
            "" if np.isnan(v) else f"{v:.{_DIGITS[name.rpartition(' ')[2]]}f}"
            for name, v in zip(FIGURES, values, strict=True)
        ]
        writer.writerow([*distances, *told, mapped.why[k]])
    return stream.getvalue()


def _charts(field: Field, mapped: Mapped) -> dict[str, bytes]:
    x, y = field.to_axis_mm / MM_PER_IN, field.to_val_mm / MM_PER_IN
    shape = (len(x), len(y))
    labels = ("pin to axis point, in", "pin to vertical axis line, in")
    design = field.ball.design
    layout = field.asked.layout
    assert isinstance(layout, ByDistances)
    here = (layout.pin_to_axis_point_mm / MM_PER_IN, layout.pin_to_val_mm / MM_PER_IN)
    inside = x[0] <= here[0] <= x[-1] and y[0] <= here[1] <= y[-1]
    spot = (*here, "this design") if inside else None

    def layer(name: str, said: str, form: str, colour: str, style: str, place: float) -> Layer:
        return Layer(mapped.figures[name].reshape(shape), said, form, colour, style, place)

    every = {
        "differentials.png": (
            layer("total differential [in]", "total differential, in", "%.4f", HIGH_AXIS,
                  "dashed", 0.45),
            layer("intermediate differential [in]", "intermediate differential, in", "%.4f",
                  INTERMEDIATE_AXIS, "solid", 0.75),
        ),
        "static-weights.png": (
            layer("top weight [oz]", "top, oz", "%+.2f", TIDE, "solid", 0.35),
            layer("side weight [oz]", "side, oz", "%+.2f", CLAY, "dashed", 0.55),
            layer("finger weight [oz]", "finger, oz", "%+.2f", INTERMEDIATE_AXIS, "dotted", 0.8),
        ),
        "flare-index.png": (
            layer("flare index [in]", "flare index, in", "%.3f", LOW_AXIS, "solid", 0.5),
        ),
    }  # fmt: skip
    titles = {
        "differentials.png": "differentials of the drilled ball",
        "static-weights.png": "static weights by moment",
        "flare-index.png": "flare index, an explanation and no prediction",
    }
    return {
        name: contours(x, y, layers, labels, f"{design.name}: {titles[name]}", NO_LAYOUT, spot)
        for name, layers in every.items()
    }


def _reasons(mapped: Mapped) -> str:
    """What stands in the way of layouts that there are not."""
    words = {
        OPEN: "{} ask for a triangle that does not close: the pin cannot be farther from the line "
        "than from the axis point that it runs through",
        TWO_MARKS: "{} leave two places of the high-RG mark that its side does not tell apart",
    }
    told = [words[why].format(mapped.why.count(why)) for why in words if why in mapped.why]
    return ", and ".join(told) or "there are none"


def _letter(field: Field, mapped: Mapped, within_in: float) -> str:
    design, layout = field.ball.design, field.asked.layout
    assert isinstance(layout, ByDistances)
    side = "above" if layout.pin_above else "below"
    ends = [
        f"{values[0] / MM_PER_IN:g} to {values[-1] / MM_PER_IN:g} in, {len(values)} values"
        for values in (field.to_axis_mm, field.to_val_mm)
    ]
    closed = int(mapped.closes.sum())
    return "\n".join(
        [
            f"# {design.name}, revision {design.revision}: a map of {field.count} layouts",
            "",
            f"- pin to axis point from {ends[0]}",
            f"- pin to vertical axis line from {ends[1]}; less than zero is the side away from "
            "the grip",
            f"- the pin {side} the axis point; grip, hand and axis point as in the design",
            "",
            f"{closed} of them are layouts. Of the others {_reasons(mapped)}.",
            "",
            "| file | what it is |",
            "| --- | --- |",
            "| layouts.csv | every layout a row: what the drilled ball weighs and how it turns |",
            "| differentials.png | total and intermediate differential of the drilled ball |",
            "| static-weights.png | top, side and finger weight by moment |",
            "| flare-index.png | the first step of the axis |",
            "| design.yaml | the design whose layout was varied |",
            "",
            f"RGs were within {within_in:.0e} in where some of the layouts were weighed finely. "
            f"Static weights are by moment: {MOMENT}. {EXPLANATION} {ESTIMATE.capitalize()}.",
            "",
        ]
    )
