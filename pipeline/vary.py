"""A design with other numbers: each put where the path of its field in the file points."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import is_dataclass, replace
from typing import Any

from pipeline.design import Design, Material, PartDesign
from pipeline.wanted import Varied
from shapes.placed import Placed
from shapes.placement import Placement

Token = str | int

_WORDS = {2: ("r", "z"), 3: ("x", "y", "z")}
_WAY = {"dr": 0, "dz": 1}


def numbers_at(varied: Sequence[Varied], values: Sequence[float]) -> dict[str, float]:
    """By the path of its field every number that varies or follows, inner units."""
    found = {}
    for one, value in zip(varied, values, strict=True):
        found[one.path] = value
        for tie in one.ties:
            found[tie.path] = tie.follow(value)
    return found


def with_numbers(design: Design, numbers: Mapping[str, float]) -> Design:
    """The design with other numbers; what was read from its file stays as it was read.

    Args:
        design: any.
        numbers: inner units, by the path of the field, such as ``parts[0].size.x``.

    Raises:
        ShapeError: a shape cannot be so.
        KeyError: there is no such number.
    """
    parts: list[PartDesign] = list(design.parts)
    materials: list[Material] = list(design.materials)
    weight = design.weight_g
    for path, value in numbers.items():
        if path == "ball.weight":
            weight = value
            continue
        found = re.fullmatch(r"materials\.(.+)\.density|parts\[(\d+)\]\.(.+)", path)
        if found is None:
            raise KeyError(path)
        if found[1]:
            k = [m.name for m in materials].index(found[1])
            materials[k] = replace(materials[k], density=value)
        else:
            k = int(found[2])
            parts[k] = _put(parts[k], tokens(found[3]), value)
    return replace(design, parts=tuple(parts), materials=tuple(materials), weight_g=weight)


def tokens(path: str) -> list[Token]:
    """The steps of a path: ``profile[2].r`` is profile, 2, r."""
    return [int(n) if n else word for word, n in re.findall(r"(\w+)|\[(\d+)\]", path)]


def place_of(path: Sequence[Token]) -> str:
    """The word of `Placement` that a path means, or nothing where it points into a shape."""
    word = ".".join(str(step) for step in path)
    known = {"spin": "spin_deg", "tilt.by": "tilt_by_deg", "tilt.toward": "tilt_toward_deg"}
    return "move_mm" if path[0] == "move" else known.get(word, "")


def _put(value: Any, path: Sequence[Token], number: float) -> Any:
    if not path:
        return number
    if isinstance(value, PartDesign | Placed):
        if place_of(path):
            return replace(value, placement=_moved(value.placement, path, number))
        return replace(value, shape=_put(value.shape, path, number))
    step, rest = path[0], path[1:]
    if is_dataclass(value) and not isinstance(value, type):
        name = str(step)
        return replace(value, **{name: _put(getattr(value, name), rest, number)})
    k = index_of(step, len(value))
    return (*value[:k], _put(value[k], rest, number), *value[k + 1 :])


def _moved(placement: Placement, path: Sequence[Token], number: float) -> Placement:
    name = place_of(path)
    if name == "move_mm":
        return replace(placement, move_mm=_put(placement.move_mm, path[1:], number))
    return replace(placement, **{name: number})  # type: ignore[arg-type]


def index_of(step: Token, length: int) -> int:
    """Which of a list of numbers a step means: its number, or x, y, z, or r, z."""
    if isinstance(step, int):
        return step
    if length == 2 and step in _WAY:
        return _WAY[step]
    return _WORDS[length].index(step)
