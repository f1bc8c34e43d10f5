"""Draw the pictures of renders/ anew: run it after a change to a shipped design or to the look."""

from __future__ import annotations

import tempfile
from pathlib import Path

from pipeline.ball import build_ball
from pipeline.crew import Crew
from pipeline.draft_bands import draft_bands
from pipeline.drawing_sheet import drawn
from pipeline.effects import has_trial
from pipeline.layouts import field_of, mapped, within_in
from pipeline.layouts_results import write_layouts
from pipeline.lineup import line_up
from pipeline.lineup_results import write_line
from pipeline.load import load, read_design
from pipeline.looks import DRAWN, DUSK, SHORE
from pipeline.picture import Style, draw_view, picture
from pipeline.portrait import portrait
from pipeline.samples import Grid, Samples, Scatter
from pipeline.shipped import NAMES, shipped
from pipeline.sweep import Plan, run
from pipeline.sweep_results import write_sweep
from pipeline.tool_groups import stems_of
from pipeline.tool_maps import draft_map
from pipeline.tool_sheets import sheets_of
from pipeline.tooling import tooling_of
from pipeline.typeset import typeset
from pipeline.weigh import weigh
from shapes.registry import FAMILIES

SIZE = (1280, 720)
VARY = """vary:
  - part: inner core
    field: profile[1].r
    from: 1.9
    to: 2.4
    with: profile[2].r
  - {material: clay, from: 1.9, to: 2.6}
"""
MORE = """  - {part: inner core, field: move.z, from: 0.2, to: 0.5}
  - {part: inner core, field: "profile[4].spline[0].r", from: 1.9, to: 2.4}
"""
LINE = """lineup:
  weights: [16 lb, 15 lb, 14 lb, 13 lb]
  hold: {low_rg: {from: 2.50, to: 2.60}, total_differential: {from: 0.036, to: 0.046}}
  by:
    - {material: foam, from: 0.55, to: 1.6}
    - {material: clay, from: 1.6, to: 2.9}
"""


VIEWED = {  # the gallery: which ball, which view, which look
    "turnstone-exploded": ("turnstone", "exploded", SHORE),
    "godwit-whole": ("godwit", "whole", DUSK),
    "turnstone-whole": ("turnstone", "whole", SHORE),
    "dunlin-ghost": ("dunlin", "ghost", SHORE),
    "turnstone-axes": ("turnstone", "axes", DUSK),
    "dunlin-section": ("dunlin", "section", DRAWN),
    "godwit-densities": ("godwit", "densities", SHORE),
    "turnstone-ellipsoid": ("turnstone", "ellipsoid", SHORE),
    "turnstone-rg-sphere": ("turnstone", "rg-sphere", SHORE),
    "dunlin-quarter": ("dunlin", "quarter", DRAWN),
}
SMALL = (960, 540)


def gallery() -> dict[str, bytes]:
    """Views and looks of the shipped balls, and their cores at one scale."""
    balls = {name: build_ball(load(shipped(name))) for name in NAMES}
    found = {
        f"{name}.png": draw_view(balls[ball], view, Style(SMALL, look))
        for name, (ball, view, look) in VIEWED.items()
    }
    beside = [balls["godwit"], balls["turnstone"]]
    found["sizes.png"] = draw_view(balls["dunlin"], "sizes", Style(SMALL), beside=beside)
    return found


def charts() -> dict[str, bytes]:
    """A map, contours and a line of the Dunlin, as its folders hold them."""
    text = shipped("dunlin").read_text(encoding="utf-8")
    found = {}
    with tempfile.TemporaryDirectory() as place:
        work = Path(place)
        asked: list[tuple[str, str, Samples]] = [
            ("map", VARY + MORE, Scatter(20_000, 4)),
            ("contours", VARY, Grid((40, 40))),
        ]
        for name, vary, samples in asked:
            plan = Plan(read_design(text + vary), samples)
            write_sweep(plan, run(plan, work / name, Crew()), work / name)
            found[f"dunlin-{name}.png"] = (work / name / f"{name}.png").read_bytes()
        design = read_design(text + LINE)
        write_line(design, line_up(design), work / "line")
        found["dunlin-line.png"] = (work / "line" / "lineup.png").read_bytes()
    return found


def drilled() -> dict[str, bytes]:
    """The drilled Dunlin: from outside, opened, its core, flat, and a chart of its layouts."""
    ball = build_ball(load(shipped("dunlin-drilled")))
    found = {
        f"dunlin-{view}.png": draw_view(ball, view, Style(SIZE))
        for view in ("drilled", "bored", "taken", "rings")
    }
    found["dunlin-axis-map.png"] = draw_view(ball, "axis-map")
    field = field_of(ball, (1.0, 6.5), (0.0, 4.0), (28, 28))
    layouts = mapped(field, Crew())
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "layouts"
        write_layouts(field, layouts, within_in(field, layouts), folder)
        found["dunlin-layouts.png"] = (folder / "differentials.png").read_bytes()
    return found


def tooling() -> dict[str, bytes]:
    """The Dunlin's core for its mould maker: its draft, its sheet, and that of a mould half."""
    made = tooling_of(build_ball(load(shipped("dunlin"))))
    sheets = sheets_of(made, stems_of(made.ball, made.castings))
    chosen = {"dunlin-core-sheet.png": "inner-core-as-cast",
              "dunlin-mould-sheet.png": "inner-core-mould-piece-2"}  # fmt: skip
    found = {
        "dunlin-draft.png": draft_map(
            "Dunlin", made.tools[0], made.out[0], draft_bands(made.tools[0], made.out[0])
        )
    }
    for name, stem in chosen.items():
        subject = next(one.subject for one in sheets if one.stem == stem)
        found[name] = typeset(drawn(subject, "A3", "first"), "png")
    return found


if __name__ == "__main__":
    folder = Path(__file__).parents[1] / "renders"
    for name in NAMES:
        ball = build_ball(load(shipped(name)))
        target = folder / f"{name}-cutaway.png"
        target.write_bytes(picture(ball, weigh(ball), size=SIZE))
        print(f"{target.name}: {target.stat().st_size // 1000} kB")
    for name, data in {**gallery(), **charts(), **drilled(), **tooling()}.items():
        (folder / name).write_bytes(data)
        print(f"{name}: {len(data) // 1000} kB")
    (folder / "shapes").mkdir(exist_ok=True)
    for word, family in FAMILIES.items():
        if has_trial(word):
            target = folder / "shapes" / f"{word}.png"
            target.write_bytes(portrait(family.typical()))
            print(f"shapes/{target.name}: {target.stat().st_size // 1000} kB")
