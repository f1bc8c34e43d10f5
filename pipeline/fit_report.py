"""A fit told to people and to machines."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import numpy as np

from pipeline.check import ESTIMATE
from pipeline.digits import MINUS
from pipeline.fit import Fitted, Solution
from pipeline.pulls import Sensitivity, binding, pulls, sensitivities
from pipeline.target import Target
from pipeline.wanted import AIMED, Aim, spelled

_DIGITS = {"in": 5, "lb": 4, "oz": 3}


def told(fitted: Fitted) -> str:
    """The fit as a page of text."""
    best, target = fitted.best, fitted.target
    found_best = ", and this is the best that was found" if target.seeks else ""
    head = (
        f"all aims are met{found_best}"
        if best.met
        else "the aims cannot all be met; this is the nearest"
    )
    lines = [
        f"{target.design.name}, revision {target.design.revision}: {head}",
        f"{fitted.starts} starts, {fitted.evaluations} balls weighed; {ESTIMATE}",
        "",
        *_figure_rows(fitted),
        "",
        *_number_rows(fitted),
    ]
    for title, found in (
        ("what binds", binding(target, best)),
        ("what pulls apart", _apart(fitted)),
    ):
        if found:
            lines += ["", title, *(f"  {line}" for line in found)]
    lines += ["", *_sensitivity_rows(sensitivities(target, best))]
    others = fitted.solutions[1:]
    if others:
        count = "another" if len(others) == 1 else f"{len(others)} others"
        verb = ("meets", "comes") if len(others) == 1 else ("meet", "come")
        lines += ["", f"{count} that {f'{verb[0]} all' if best.met else f'{verb[1]} as near'}"]
        lines += [f"  {k + 2}: {_numbers(target, other)}" for k, other in enumerate(others)]
    return "\n".join(line.rstrip() for line in lines)


def as_figures(fitted: Fitted) -> dict[str, Any]:
    """The same for machines: inches, pounds, ounces, and each number in the unit of its file."""
    target, best = fitted.target, fitted.best
    return {
        "met": best.met,
        "figures": _figures(best),
        "before": None
        if fitted.before is None
        else _shown({n: float(c[0]) for n, c in fitted.before.rows.figures.items()}),
        "values": [
            {
                **_place(s.varied.path, s.varied.name),
                "value": round(float(value) / s.varied.size, 6),
                "unit": s.varied.unit,
                "before": round(s.varied.now / s.varied.size, 6),
                "sensitivity": {
                    "step": s.step,
                    **{n: None if c is None else round(c, 7) for n, c in s.changes.items()},
                },
            }
            for s, value in zip(sensitivities(target, best), best.values, strict=True)
        ],
        "binding": list(binding(target, best)),
        "pulling_apart": [[p.one, p.other] for p in pulls(target, best)],
        "starts": fitted.starts,
        "evaluations": fitted.evaluations,
        "alternatives": [
            {
                "met": other.met,
                "figures": _figures(other),
                "values": [
                    {
                        **_place(v.path, v.name),
                        "value": round(float(x) / v.size, 6),
                        "unit": v.unit,
                    }
                    for v, x in zip(target.varied, other.values, strict=True)
                ],
            }
            for other in fitted.solutions[1:]
        ],
        "note": ESTIMATE,
    }


def _place(path: str, name: str) -> dict[str, str]:
    """Where a number stands: {part, field}, {material} or {ball}."""
    found = re.fullmatch(r"parts\[\d+\]\.(.+)", path)
    if found:
        return {"part": name.removesuffix(f" {found[1]}"), "field": found[1]}
    if path == "ball.weight":
        return {"ball": "weight"}
    material = path.removeprefix("materials.").removesuffix(".density")
    return {"material": material, "field": "density"}


def _figures(solution: Solution) -> dict[str, float | None]:
    return _shown(solution.figures)


def _shown(figures: dict[str, float]) -> dict[str, float | None]:
    return {
        f"{name}_{AIMED[name].unit}": None if np.isnan(v) else round(v / AIMED[name].size, 7)
        for name, v in figures.items()
    }


def _figure_rows(fitted: Fitted) -> list[str]:
    rows = [f"  {'figure':<28}{'before':>12}{'after':>12}  aim"]
    aims = {aim.figure: aim for aim in fitted.target.design.wanted.aims}
    for name, figure in AIMED.items():
        before = np.nan if fitted.before is None else float(fitted.before.rows.figures[name][0])
        after = fitted.best.figures[name]
        cells = [_cell(v / figure.size, figure.unit) for v in (before, after)]
        wanted = _aim(aims[name]) if name in aims else ""
        rows.append(f"  {spelled(name):<28}{cells[0]:>12}{cells[1]:>12}  {wanted}")
    return rows


def _cell(value: float, unit: str) -> str:
    if np.isnan(value):
        return "undefined"
    return f"{value:.{_DIGITS[unit]}f} {unit}"


def _aim(aim: Aim) -> str:
    figure = AIMED[aim.figure]
    digits = _DIGITS[figure.unit]
    said = []
    if aim.value is not None and aim.high is not None:
        within = (aim.high - aim.value) / figure.size
        said.append(f"{aim.value / figure.size:g} within {within:.{digits}g} {figure.unit}")
    elif aim.low is not None and aim.high is not None:
        said.append(f"{aim.low / figure.size:g} to {aim.high / figure.size:g} {figure.unit}")
    elif aim.low is not None:
        said.append(f"at least {aim.low / figure.size:g} {figure.unit}")
    elif aim.high is not None:
        said.append(f"at most {aim.high / figure.size:g} {figure.unit}")
    if aim.seek:
        said.append(f"the {aim.seek}")
    return ", ".join(said)


def _number_rows(fitted: Fitted) -> list[str]:
    target = fitted.target
    width = max(len(v.name) for v in target.varied) + 2
    rows = [f"  {'number':<{width}}{'before':>12}{'after':>12}  range"]
    for one, value in zip(target.varied, fitted.best.values, strict=True):
        low, high = one.low / one.size, one.high / one.size
        rows.append(
            f"  {one.name:<{width}}{one.now / one.size:>12.5f}{value / one.size:>12.5f}"
            f"  {low:g} to {high:g} {one.unit}"
        )
    return rows


def _apart(fitted: Fitted) -> list[str]:
    return [f"{p.one} against {p.other}" for p in pulls(fitted.target, fitted.best)]


def _sensitivity_rows(found: Sequence[Sensitivity]) -> list[str]:
    width = max(len(_step(s)) for s in found) + 2
    rows = [
        f"  {'change':<{width}}{'low RG':>11}{'total':>11}{'intermediate':>14}  in"
        f"{'top weight':>12} oz"
    ]
    for one in found:
        low, total, middle, top = (
            one.changes[n]
            for n in ("low_rg", "total_differential", "intermediate_differential", "top_weight")
        )
        rows.append(
            f"  {_step(one):<{width}}{_signed(low):>11}{_signed(total):>11}{_signed(middle):>14}"
            f"    {_signed(top, 3):>12}"
        )
    return rows


def _step(one: Sensitivity) -> str:
    return f"{one.varied.name} {one.step:g} {one.varied.unit} more"


def _signed(value: float | None, digits: int = 5) -> str:
    if value is None:
        return "undefined"
    text = f"{value:+.{digits}f}"
    if not float(text):
        return text[1:]
    return text.replace("-", MINUS)


def _numbers(target: Target, solution: Solution) -> str:
    return ", ".join(
        f"{v.name} {x / v.size:.4f} {v.unit}".rstrip()
        for v, x in zip(target.varied, solution.values, strict=True)
    )
