"""RG about every axis, as a map over half the sphere."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from pipeline.dossier.document import Section, Words
from pipeline.dossier.rg_map import rg_map
from pipeline.units import G_PER_LB, MM_PER_IN


def sphere_section(data: Mapping[str, Any]) -> Section | None:
    """The map; None where RG is the same about every axis."""
    figures = data["figures"]
    chart = rg_map(
        np.array(figures["inertia_lb_in2"]) * G_PER_LB * MM_PER_IN**2,
        figures["mass_lb"] * G_PER_LB,
        figures["axes"],
        figures["error_bound"]["rg_in"],
    )
    if chart is None:
        return None
    words = Words(
        "RG about the axis through the centre of gravity that points in each direction. It is the "
        "same both ways, so the half about +Z shows all of it."
    )
    return Section("sphere", "RG over the sphere", (words, chart))
