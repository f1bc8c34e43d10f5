"""Which design this is of, down to the byte, and what it was worked out with."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pipeline.dossier.document import Section, Terms, Words


def identity_section(data: Mapping[str, Any]) -> Section:
    """Name, revision, date, hashes, versions."""
    design = data["design"]
    pairs = [
        ("design", design["name"]),
        ("revision", design["revision"]),
        ("date of the design", design["date"] or "none given"),
        ("SHA-256 of the design file", design["sha256"]),
        *((f"SHA-256 of {one['name']}", one["sha256"]) for one in design["files"]),
        *((f"version of {name}", version) for name, version in data["versions"].items()),
        ("limits as of", data["limits_as_of"]),
    ]
    frame = (
        "The origin is the ball's geometric centre, +Z points to the pin as drawn, right-handed; "
        "azimuth is measured from +X about +Z. Lengths in inches, masses in pounds, densities in "
        "g/cm³."
    )
    return Section("identity", "Identity", (Terms(tuple(pairs)), Words(frame, "note")))
