"""Figures of two made-up balls, as the dossier's charts take them, and their charts."""

from __future__ import annotations

from functools import cache
from typing import Any

from pipeline.dossier.document import Chart
from pipeline.dossier.limit_bars import limit_bars
from pipeline.dossier.line_chart import line_chart
from pipeline.dossier.rg_map import rg_map
from pipeline.dossier.routes_chart import routes_chart
from pipeline.dossier.sensitivity_bars import sensitivity_bars

MASS_G = 6803.88555
BOUND_IN = 1e-8
TENSORS = {
    "dunlin": [[29400263.30, 0.0, 0.0], [0.0, 29400263.30, 0.0], [0.0, 0.0, 28431376.90]],
    "turnstone": [
        [29377039.565, 0.0, 0.0],
        [0.0, 28986123.467, -53930.752],
        [0.0, -53930.752, 28210174.642],
    ],
}
AXES: dict[str, dict[str, list[float] | None]] = {
    "dunlin": {"low": [0.0, 0.0, 1.0], "intermediate": None, "high": None},
    "turnstone": {
        "low": [0.0, 0.069005551, 0.997616276],
        "intermediate": [0.0, -0.997616276, 0.069005551],
        "high": [1.0, 0.0, 0.0],
    },
}
ROUTES = {
    "moments": {
        "rg_in": {"low": 2.53490655, "intermediate": 2.56986788, "high": 2.58697241},
        "error_bound_rg_in": 1e-8,
    },
    "boundary": {
        "rg_in": {"low": 2.534907, "intermediate": 2.569868, "high": 2.586972},
        "error_bound_rg_in": 1e-6,
    },
    "mesh": {
        "rg_in": {"low": 2.535, "intermediate": 2.57, "high": 2.587},
        "error_bound_rg_in": 0.004,
    },
}
LINE = {
    "weights": [
        {
            "weight_lb": weight,
            "met": met,
            "figures": {}
            if low is None
            else {
                "low_rg_in": low,
                "total_differential_in": total,
                "intermediate_differential_in": middle,
            },
            "why": None if met else "no density will do",
        }
        for weight, met, low, total, middle in (
            (16.0, True, 2.5368798, 0.0414035, 0.0136135),
            (15.0, True, 2.5349066, 0.0520659, 0.0171045),
            (14.0, False, 2.5321, 0.0637, 0.0211),
            (13.0, False, None, None, None),
            (12.0, False, None, None, None),
        )
    ]
}
SENSITIVITIES: list[dict[str, Any]] = [
    {
        "name": name,
        "step": step,
        "low_rg_in": low,
        "total_differential_in": total,
        "intermediate_differential_in": middle,
    }
    for name, step, low, total, middle in (
        ("density of clay", "0.01 g/cm3", -0.000311, 0.000402, 0.000009),
        ("inner core: size x", "0.01 in", 0.000104, -0.000512, 0.000006),
        ("inner core: size z", "0.01 in", 0.000021, 0.000733, -0.000003),
        ("outer core: diameter", "0.01 in", 0.000001, 0.0, 0.0),
    )
]


def finding(rule: str, value: float | None, unit: str, **more: Any) -> dict[str, Any]:
    """A row of the limits: its margin and verdict follow from the limits unless they are given."""
    least, most = more.get("least"), more.get("most")
    margins = [] if value is None or most is None else [most - value]
    margins += [] if value is None or least is None else [value - least]
    margin = min(margins, default=None)
    verdict = "not determined" if margin is None else "pass" if margin >= 0.0 else "fail"
    said = [f"at least {least:g}"] if least is not None else []
    said += [f"at most {most:g}"] if most is not None else []
    row = {
        "rule": rule, "value": value, "unit": unit, "least": least, "most": most,
        "limit": f"{' and '.join(said)} {unit}", "margin": margin, "verdict": verdict, "note": "",
    }  # fmt: skip
    return {**row, **more}


FINDINGS = [
    finding("weight", 15.0, "lb", most=16.0),
    finding("diameter", 8.55, "in", least=8.5, most=8.595),
    finding("low RG", 2.534906554, "in", least=2.46),
    finding("high RG", 2.586972414, "in", most=2.8),
    finding("total differential", 0.05206586, "in", most=0.06),
    finding("component density", 2.33, "g/mL", most=3.8),
    finding("voids", 0.0, "of the volume", most=1e-7),
    finding("pin to low-RG axis", 0.293429759, "in", most=1.0),
    finding("mark to high-RG axis", None, "in", most=1.5, note="the high-RG axis is undefined"),
    finding("static imbalance", 1.467337049, "oz", most=3.0),
    finding("weight as asked", 15.0, "lb", least=14.995, most=15.005),
    finding("house ball differential", 0.05206586, "in", most=0.025),
    finding("holes end in the ball", 0.0, "holes", verdict="pass", limit="none comes out"),
]


@cache
def charts() -> dict[str, Chart]:
    """A chart of each kind, by name."""
    found = {
        "limits": limit_bars(FINDINGS),
        "line": line_chart(LINE),
        "routes": routes_chart(ROUTES),
        "sensitivity": sensitivity_bars(SENSITIVITIES),
    }
    for name in TENSORS:
        chart = rg_map(TENSORS[name], MASS_G, AXES[name], BOUND_IN)
        assert chart is not None
        found[name] = chart
    return found
