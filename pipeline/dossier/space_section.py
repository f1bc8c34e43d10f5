"""The ball to be seen: in space on a page, as pictures in print."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pipeline.dossier.document import Section, Space, Still

SPACE = "space"  # of pictures that stand for the ball in space


def space_section(data: Mapping[str, Any]) -> Section:
    """The view, and the pictures that stand for it."""
    return Section("ball", "The ball", (Space(stills(data, SPACE)),))


def stills(data: Mapping[str, Any], place: str) -> tuple[Still, ...]:
    """The pictures of one section."""
    return tuple(
        Still(one["key"], one["caption"], one["alt"])
        for one in data["pictures"]
        if one["place"] == place
    )
