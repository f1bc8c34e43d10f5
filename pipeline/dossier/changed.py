"""What changed since an earlier dossier: figures, verdicts and design, held against the new ones.

An earlier dossier counts by what it told, so the figures that matter are kept in the new one by
name; whoever has only the new one can see both.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

Data = Mapping[str, Any]
Value = float | str | None
_IDENTITY = ("name", "revision", "date", "sha256")


@dataclass(frozen=True)
class Earlier:
    """What counts of an earlier dossier.

    Attributes:
        design: name, revision, date and sha256 of its design.
        told: its figures and verdicts by name.
    """

    design: Mapping[str, str | None]
    told: Mapping[str, Value]


def earlier_of(data: Data) -> Earlier:
    """What counts of the data of a dossier."""
    return Earlier({key: data["design"][key] for key in _IDENTITY}, dict(_told(data)))


def changed(earlier: Earlier, data: Data) -> dict[str, Any]:
    """The changes from an earlier dossier, with all that they were worked out from.

    Args:
        earlier: what counts of it.
        data: of the new dossier.
    """
    now = earlier_of(data)
    rows = [
        *_rows("design", earlier.design, now.design),
        *_rows("figure", earlier.told, now.told),
    ]
    return {"design": dict(earlier.design), "told": dict(earlier.told), "rows": rows}


def _rows(
    kind: str, before: Mapping[str, Value], after: Mapping[str, Value]
) -> Iterator[dict[str, Any]]:
    for name in dict.fromkeys([*before, *after]):
        old, new = before.get(name), after.get(name)
        if name in before and name in after and old == new:
            continue
        state = "changed" if name in before and name in after else "gone"
        state = "new" if name not in before else state
        yield {"kind": kind, "what": name, "state": state, "before": old, "after": new}


def _told(data: Data) -> Iterator[tuple[str, Value]]:
    """Every figure that a reviewer compares, by name."""
    figures = data["figures"]
    yield "mass, lb", figures["mass_lb"]
    yield from _turning(figures, "")
    yield from _turning(figures["about_ball_centre"], "about the ball's centre, ")
    yield "symmetry", figures["symmetry"]
    yield "pin to CG, in", figures["pin_to_cg_in"]
    yield "static imbalance, oz", figures["top_weight_oz"]
    for part in figures["parts"]:
        for key, unit in (("density", "g_cm3"), ("volume", "in3"), ("mass", "lb")):
            yield f"{part['name']}: {key}, {unit.replace('_', '/')}", part[f"{key}_{unit}"]
    for row in data["axes"]:
        for key, value in row.items():
            if key != "axis":
                name = key.removesuffix("_deg").replace("_", " ")
                yield f"{row['axis']}-RG axis, {name}, deg", value
    for row in data["findings"]:
        yield f"rule on {row['rule']}: figure, {row['unit']}".rstrip(", "), row["value"]
        yield f"rule on {row['rule']}: verdict", row["verdict"]
    for row in data.get("tooling", {}).get("findings", []):
        name = f"{row['casting']}: {row['rule']}"
        yield f"{name}, {row['unit']}".rstrip(", "), row["value"]
        yield f"{name}: verdict", row["verdict"]


def _turning(figures: Data, about: str) -> Iterator[tuple[str, Value]]:
    for name in ("low", "intermediate", "high"):
        yield f"{about}{name} RG, in", figures["rg_in"][name]
    for name in ("total", "intermediate"):
        yield f"{about}{name} differential, in", figures[f"{name}_differential_in"]
