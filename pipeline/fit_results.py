"""What a fit hands over beside the design: a report, a map, every solution with a picture."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from pipeline.ball import build_ball
from pipeline.charts import Spot, rg_map
from pipeline.fit import Fitted
from pipeline.fit_report import told
from pipeline.folder import whole_folder
from pipeline.load import home_of, read_design
from pipeline.picture import picture
from pipeline.sweep_results import write_listing, write_sources
from pipeline.units import MM_PER_IN
from pipeline.weigh import weigh


def write_report(fitted: Fitted, target: Path) -> None:
    """Make the folder, whole or not at all."""
    design = fitted.target.design
    with whole_folder(target, "fit") as work:
        folder = work.path
        write_sources(design, folder)
        spots = []
        lines = [f"# {design.name}: a fit", "", "```text", told(fitted), "```", ""]
        home = home_of(design)
        for k, solution in enumerate(fitted.solutions, 1):
            name = f"solution-{k}"
            (folder / f"{name}.yaml").write_bytes(solution.source)
            found = read_design(solution.source, design.file or "design", home)
            ball = build_ball(found)
            (folder / f"{name}.png").write_bytes(picture(ball, weigh(ball), size=(1280, 720)))
            lines += [f"## Solution {k}", "", f"![solution {k}]({name}.png)", ""]
            spots.append(_spot(solution.figures, f"{k}"))
        if fitted.before is not None:
            before = {n: float(c[0]) for n, c in fitted.before.rows.figures.items()}
            spots.append(_spot(before, "before"))
        low, total = np.array([[s.low_rg_in, s.total_in] for s in spots]).T
        (folder / "map.png").write_bytes(
            rg_map(low, total, f"{design.name}: before and after", design.weight_g, spots)
        )
        lines += ["## Where they lie", "", "![RG and differential](map.png)", ""]
        (folder / "README.md").write_text("\n".join(lines), "utf-8", newline="\n")
        write_listing(folder, design, "fit")


def _spot(figures: dict[str, float], name: str) -> Spot:
    low, total = figures["low_rg"] / MM_PER_IN, figures["total_differential"] / MM_PER_IN
    return Spot(low, total, name)
