"""Mass properties: RGs and differentials about both centres, tensors, marks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pipeline.dossier.document import Block, Section, Table, Words, table
from pipeline.dossier.plain import bound, number, vector

Data = Mapping[str, Any]
_NAMES = ("low", "intermediate", "high")


def mass_section(data: Data) -> Section:
    """All mass properties, digit for digit as the data have them."""
    return Section("mass", "Mass properties", tuple(_blocks(data)))


def _blocks(data: Data) -> Iterator[Block]:
    figures = data["figures"]
    if "drilling" in figures:
        yield Words("These are the figures of the ball as drilled; those before stand below.")
    sure = figures["error_bound"]
    yield Words(
        f"Mass within {bound(sure['mass_lb'], 'lb')}, every RG and differential within "
        f"{bound(sure['rg_in'], 'in')}. A swing-type tester turns the ball about its geometric "
        "centre, so the same figures are given about that, too."
    )
    yield _radii(figures)
    yield table(
        "Mass, centre of gravity and marks",
        ("figure", "value"),
        [
            ("mass", number(figures["mass_lb"], "lb")),
            ("centre of gravity, x, y, z", vector(figures["centre_of_gravity_in"], "in")),
            ("pin: low-RG axis on the surface", vector(figures["pin_in"], "in")),
            ("PSA: high-RG axis on the surface", vector(figures["psa_in"], "in")),
            ("CG mark", vector(figures["cg_mark_in"], "in")),
            ("pin to CG, along the surface", number(figures["pin_to_cg_in"], "in")),
            ("static imbalance", number(figures["top_weight_oz"], "oz")),
            ("symmetry", figures["symmetry"]),
        ],
        words=2,
    )
    yield _tensor("Inertia tensor about the centre of gravity, lb in²", figures["inertia_lb_in2"])
    yield _tensor(
        "Inertia tensor about the ball's centre, lb in²", data["about_ball_centre_lb_in2"]
    )
    yield Words(
        "Tensors are in the ball frame, products of inertia negated. RG about an axis is the root "
        "of the inertia about it over the mass.",
        "note",
    )


def _radii(figures: Data) -> Table:
    own, centre = figures, figures["about_ball_centre"]
    rows = [
        (f"{name} RG", number(own["rg_in"][name]), number(centre["rg_in"][name])) for name in _NAMES
    ]
    rows += [
        (name, number(own[key]), number(centre[key]))
        for name, key in (
            ("total differential", "total_differential_in"),
            ("intermediate differential", "intermediate_differential_in"),
        )
    ]
    return table(
        "Radii of gyration and differentials, in",
        ("figure", "about the centre of gravity", "about the ball's centre"),
        rows,
    )


def _tensor(caption: str, rows: Sequence[Sequence[float]]) -> Table:
    return table(
        caption,
        ("", "x", "y", "z"),
        [(axis, *(number(v) for v in row)) for axis, row in zip("xyz", rows, strict=True)],
    )
