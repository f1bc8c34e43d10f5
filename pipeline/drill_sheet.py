"""The sheet a driller works from, one page as PDF and as SVG; every figure from the geometry."""

from __future__ import annotations

import io
import textwrap
from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from pipeline.charts import FAINT, INK
from pipeline.check import Finding
from pipeline.digits import inches
from pipeline.drilled import Drilled
from pipeline.drilled_figures import layout_distances_mm
from pipeline.driller import bridges_of, pitch_of, place_of, spans_of
from pipeline.drilling import Place
from pipeline.flare import EXPLANATION
from pipeline.holes import Hole
from pipeline.polar_map import Flat, about_axis_point, about_pin, draw_map
from pipeline.rolling import let_go
from pipeline.shift import pin_moved, psa_moved
from pipeline.sphere import arc_rad
from pipeline.statics import statics
from pipeline.units import G_PER_LB, G_PER_OZ, MM_PER_IN

if TYPE_CHECKING:
    from matplotlib.figure import Figure

Paper = Literal["a4", "letter"]
SIZES_IN: dict[Paper, tuple[float, float]] = {"a4": (8.27, 11.69), "letter": (8.5, 11.0)}
CAUTIONS = (
    "Design estimate: only the governing body certifies a ball, and its rules in force decide what "
    "may be drilled. Measure the bowler's hand and the marks on the ball before the first cut.",
    "Drilling dust of resins and fillers irritates and can sensitise skin and airways: dermatitis "
    "and allergy may last. Extract it, wear what the data sheets ask for, keep it off the skin.",
    "Guard the machine, clamp the ball, keep hands, sleeves and hair clear; no gloves at a turning "
    "bit. Follow the machine's manual, local codes and trained practice.",
    "Adhesives and slug resins: follow their data sheets.",
)
_SMALL, _PLAIN, _HEAD = 7.5, 8.5, 10.0
_LEFT = 0.055
_WRAP = 172  # letters of small print that a line holds


def drill_sheet(
    drilled: Drilled, findings: Sequence[Finding], form: Literal["pdf", "svg"], paper: Paper = "a4"
) -> bytes:
    """The sheet; the same ball gives the same bytes.

    Args:
        drilled: the drilled ball.
        findings: the rules on a drilled ball held against it.
        form: which file.
        paper: its size.
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    from pipeline.chart_face import family

    look: Any = {
        "font.family": [family()],
        "text.color": INK,
        "pdf.fonttype": 42,
        "svg.fonttype": "path",
        "svg.hashsalt": drilled.ball.design.sha256 or "corewright",
    }
    with mpl.rc_context(look):
        figure = Figure(figsize=SIZES_IN[paper])
        _page(figure, drilled, findings)
        stream = io.BytesIO()
        title = f"{drilled.ball.design.name}: drill sheet"
        metadata: dict[str, Any] = (
            {"Title": title, "CreationDate": None, "Creator": "Corewright", "Producer": None}
            if form == "pdf"
            else {"Title": title, "Date": None, "Creator": "Corewright"}
        )
        figure.savefig(stream, format=form, metadata=metadata)
    return stream.getvalue()


def _page(figure: Figure, drilled: Drilled, findings: Sequence[Finding]) -> None:
    design = drilled.ball.design
    y = 0.965
    figure.text(_LEFT, y, design.name, fontsize=20, weight="bold", va="top")
    hand = f", {drilled.laid.hand} hand" if drilled.laid.hand else ""
    said = f"drill sheet{hand}; revision {design.revision}"
    said += f"; {design.date}" if design.date else ""
    figure.text(_LEFT, y - 0.031, said, fontsize=_HEAD, color=FAINT, va="top")
    figure.text(
        1.0 - _LEFT, y, f"design {design.sha256[:12]}" if design.sha256 else "", fontsize=_SMALL,
        color=FAINT, va="top", ha="right",
    )  # fmt: skip
    y = _table(
        figure, y - 0.062, "Holes, inches", _HOLE_HEADS, [_hole_row(drilled, h) for h in
        drilled.holes], _HOLE_AT, size=_SMALL,
    )  # fmt: skip
    left = _pairs(figure, y - 0.012, _LEFT, 0.44, "Along the surface, inches", _distances(drilled))
    right = _table(
        figure, y - 0.012, "Before and after", ("", "undrilled", "drilled"), _figures(drilled),
        (0.52, 0.79, 0.945),
    )  # fmt: skip
    found = statics(drilled)
    if found:
        right = _table(
            figure, right - 0.008, "Static weights, oz", ("", "by moment", "by halves"),
            [(f"{one.name}, + towards {_TOWARDS[one.name]}", f"{one.moment_g / G_PER_OZ:+.2f}",
              f"{one.halves_g / G_PER_OZ:+.2f}") for one in found],
            (0.52, 0.79, 0.945),
        )  # fmt: skip
    y = _rules(figure, min(left, right) - 0.010, findings)
    bottom = _foot(figure, drilled)
    _maps(figure, drilled, y - 0.008, bottom + 0.006)


_TOWARDS = {"top": "the grip centre", "side": "the ring finger", "finger": "the fingers"}


def _rules(figure: Figure, y: float, findings: Sequence[Finding]) -> float:
    """The rules in two columns side by side; where they end."""
    half = -(-len(findings) // 2)
    heads = ("", "value", "allowed", "")
    one, two = findings[:half], findings[half:]
    ends = [
        _table(figure, y, title, heads, [_verdict(f) for f in some], at, size=_SMALL)
        for title, some, at in (
            ("Rules on a drilled ball", one, (_LEFT, 0.205, 0.318, 0.44)),
            (" ", two, (0.52, 0.690, 0.815, 0.945)),
        )
        if some
    ]
    return min(ends)


_HOLE_HEADS = (
    "hole", "enters over", "up (down)", "diameter", "depth", "bottom", "bevel", "bore", "its depth",
    "g/cm\u00b3", "forward (reverse)", "right (left)",
)  # fmt: skip
_HOLE_AT = (
    _LEFT, 0.245, 0.320, 0.395, 0.460, 0.520, 0.575, 0.645, 0.710, 0.765, 0.865, 0.945,
)  # fmt: skip


def _hole_row(drilled: Drilled, hole: Hole) -> tuple[str, ...]:
    drill, laid = hole.drill, drilled.laid
    insert = drill.insert
    if laid.frame is None:
        arc = hole.radius_mm * arc_rad(hole.entry_mm, np.array([0.0, 0.0, 1.0]))
        azimuth = np.degrees(np.arctan2(hole.entry_mm[1], hole.entry_mm[0])) % 360.0
        where = f"arc {_inch(arc)}", f"at {azimuth:.1f}\u00b0"
        pitch = "misses centre", _inch(hole.misses_mm())
    else:
        at = place_of(hole.entry_mm, laid.frame, hole.radius_mm, laid.hand)
        where = _signed(at.over_mm), _signed(at.up_mm)
        found = pitch_of(hole, laid.frame)
        pitch = _signed(found.forward_mm), _signed(found.right_mm)
    return (
        _short(hole.name, 14),
        *where,
        _inch(drill.diameter_mm),
        _inch(drill.depth_mm),
        "flat" if drill.point_deg is None else f"{drill.point_deg:g}\u00b0",
        _inch(drill.bevel_mm) if drill.bevel_mm else "none",
        _inch(insert.bore_mm) if insert else "none",
        _inch(insert.depth_mm) if insert else "",
        f"{insert.density_g_cm3:g}" if insert else "",
        *pitch,
    )


def _short(name: str, letters: int) -> str:
    """A name with its middle left out, so that names with one beginning stay apart."""
    end = letters // 3
    return name if len(name) <= letters else f"{name[: letters - end - 1]}\u2026{name[-end:]}"


def _signed(mm: float) -> str:
    return f"({_inch(-mm)})" if round(mm / MM_PER_IN, 4) < 0.0 else _inch(mm)


def _inch(mm: float) -> str:
    """Inches: as a fraction where that is what it is, to 1/64, else to four decimals."""
    inches = mm / MM_PER_IN
    fraction = Fraction(round(inches * 64.0), 64)
    if abs(float(fraction) - inches) > 1e-7:
        return f"{inches:.4f}"
    whole, rest = divmod(fraction, 1)
    if not rest:
        return f"{whole}"
    return f"{whole} {rest}" if whole else f"{rest}"


def _distances(drilled: Drilled) -> list[tuple[str, str]]:
    words = {"pin_to_val": "pin to vertical axis line"}
    rows = [
        (words.get(name, name.replace("_", " ")), _inch(mm))
        for name, mm in layout_distances_mm(drilled).items()
    ]
    laid, radius = drilled.laid, drilled.properties.radius_mm
    if laid.frame is not None:
        for name, mark in (("pin", laid.pin), ("high-RG mark", laid.mark)):
            if mark is not None:
                at = place_of(mark, laid.frame, radius, laid.hand)
                rows.append((f"{name}, over; up (down)", f"{_signed(at.over_mm)}; "
                             f"{_signed(at.up_mm)}"))  # fmt: skip
    asked = drilled.ball.design.drilling
    if asked is not None and isinstance(asked.axis_point, Place):
        at = asked.axis_point
        rows.append(("axis point, over from the grip centre", _inch(at.over_mm)))
        way = "up" if at.up_mm >= 0.0 else "down"
        rows.append((f"axis point, then {way}", _inch(abs(at.up_mm))))
    for word, gaps in (("span", spans_of(drilled)), ("bridge", bridges_of(drilled))):
        rows += [
            (f"{word}, {_short(g.first, 12)} to {_short(g.second, 12)}, edge to edge",
             _inch(g.along_mm)) for g in gaps
        ]  # fmt: skip
    flare = let_go(drilled)
    if flare is not None:
        rows.append(("flare index, first step of the axis", _inch(flare.first_step_mm)))
    for name, moved in (("pin", pin_moved(drilled)), ("PSA", psa_moved(drilled))):
        if moved.on_surface_mm is not None:
            rows.append((f"{name} moved by drilling", _inch(moved.on_surface_mm)))
    return rows


def _figures(drilled: Drilled) -> list[tuple[str, ...]]:
    before, after = drilled.undrilled, drilled.properties
    rows: list[tuple[str, ...]] = [
        ("weight, lb", f"{before.mass_g / G_PER_LB:.3f}", f"{after.mass_g / G_PER_LB:.3f}"),
    ]
    drilled_mm = after.principal.named_mm()
    for name, mm in before.principal.named_mm().items():
        rows.append((f"{name}, in", inches(mm, before, 4), inches(drilled_mm[name], after, 4)))
    taken = (before.mass_g - after.mass_g) / G_PER_OZ
    rows.append(("taken out, oz", "", f"{taken:.2f}"))
    rows.append(("symmetry", before.principal.symmetry, after.principal.symmetry))
    return rows


def _verdict(finding: Finding) -> tuple[str, ...]:
    form = finding.form(2)
    unit = finding.unit if form.endswith("f") else ""  # what is counted is in the rule's name
    value = "" if finding.value is None else f"{finding.value:{form}} {unit}".strip()
    limit = finding.limit if len(finding.limit) < 20 else ""
    return finding.rule, value, limit, finding.verdict


def _table(
    figure: Figure,
    y: float,
    title: str,
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    at: Sequence[float],
    size: float = _PLAIN,
) -> float:
    """A table: its first column set to the left, the others to the right; where it ends."""
    step = size * 1.42 / 72.0 / figure.get_figheight()
    figure.text(at[0], y, title, fontsize=_HEAD, weight="bold", va="top")
    y -= 1.55 * step
    if not any(heads):
        y += step
    for k, head in enumerate(heads):
        figure.text(
            at[k], y, head, fontsize=_SMALL, color=FAINT, va="top", ha="right" if k else "left"
        )
    y -= step
    for row in rows:
        for k, cell in enumerate(row):
            figure.text(at[k], y, cell, fontsize=size, va="top", ha="right" if k else "left")
        y -= step
    return y


def _pairs(
    figure: Figure, y: float, left: float, right: float, title: str, rows: Sequence[tuple[str, str]]
) -> float:
    return _table(figure, y, title, ("", ""), rows, (left, right))


def _maps(figure: Figure, drilled: Drilled, top: float, bottom: float) -> None:
    """The surface laid flat about the axis point and about the pin, or the pin alone."""
    flats: list[tuple[str, Flat]] = [("the pin", about_pin(drilled))]
    if drilled.laid.axis_point is not None:
        flats.insert(0, ("the axis point", about_axis_point(drilled)))
    wide = 0.47 if len(flats) == 2 else 0.6
    for k, (name, flat) in enumerate(flats):
        left = 0.02 + 0.49 * k if len(flats) == 2 else 0.2
        axes = figure.add_axes((left, bottom + 0.030, wide, max(0.1, top - bottom - 0.045)))
        draw_map(axes, drilled, flat, rings=False, small=True)
        figure.text(
            left + wide / 2.0, top - 0.002, f"about {name}; circles 1 in apart", fontsize=_SMALL,
            color=FAINT, ha="center", va="top",
        )  # fmt: skip


def _foot(figure: Figure, drilled: Drilled) -> float:
    """Cautions at the bottom of the page; where they begin."""
    texts = [*CAUTIONS]
    if let_go(drilled) is not None:
        texts.append(EXPLANATION)
    lines = [line for text in texts for line in textwrap.wrap(text, _WRAP, subsequent_indent="  ")]
    step = _SMALL * 1.35 / 72.0 / figure.get_figheight()
    y = 0.022 + step * len(lines)
    start = y + 0.004
    for line in lines:
        figure.text(_LEFT, y, line, fontsize=_SMALL, va="top", color=INK)
        y -= step
    figure.text(_LEFT, start + 0.016, "Before you drill", fontsize=_HEAD, weight="bold", va="top")
    return start + 0.018
