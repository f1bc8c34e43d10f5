"""Many bodies of one family at once: the family's own formulas with columns in place of numbers.

A stack is a shape whose numbers are columns, shape (n, 1).  Whatever of a family is arithmetic
works on it unchanged: its moments, and the rules that its parameters keep.  So there is one formula
for one body and for thousands, and the search for a core pays the price of Python once a block.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING
from typing import Any, NamedTuple

import numpy as np

from shapes.errors import ShapeError
from shapes.hull import Hull
from shapes.moments import Array, Mask, Moments
from shapes.parameters import NUMERIC, Parameter, parameters_of
from shapes.shape import Shape
from shapes.turned import Turned

BLOCK = 500  # bodies whose nodes fit the cache of one core

Columns = Mapping[tuple[str | int, ...], Array]  # by parameter, and its number where it has several


class Stack(NamedTuple):
    """What a family weighs for many sets of parameters.

    Attributes:
        moments: volume (n,), first (n, 3) and second (n, 3, 3), NaN where the family refuses the
            parameters.
        taken: shape (n,), where it takes them.
        hull: see `Shape.hull`; anything where the parameters are refused.
        proven: shape (n,), where a stack could show that there is such a body; the others must be
            made one by one.
    """

    moments: Moments
    taken: Mask
    hull: Hull
    proven: Mask


def moments_of_many(family: type[Shape], parameters: Mapping[str, Any]) -> Stack:
    """Moments of n bodies of one family; the hull is left out.

    Args:
        family: any that has only numbers for parameters.
        parameters: by name, each one number (or tuple) for all bodies or an array of shape (n,);
            for lengths and series shape (n, k).  Those left out keep their defaults.

    Raises:
        ShapeError: a parameter that is missing, unknown, or no number.
    """
    known = {field.name: p for field, p in parameters_of(family)}
    columns = {}
    for name, value in parameters.items():
        if name not in known:
            raise ShapeError(name, f"no parameter of {family.__name__}: {', '.join(known)}")
        columns[name] = _columns(name, known[name], value)
    count = max((len(c[0]) for c in columns.values()), default=1)
    blocks = []
    for start in range(0, count, BLOCK):
        part = slice(start, min(start + BLOCK, count))
        held = {}
        for field, parameter in parameters_of(family):
            given = columns.get(field.name)
            if given is None:
                if field.default is MISSING:
                    raise ShapeError(field.name, "nothing is there")
                held[field.name] = field.default
            else:
                found = [(c[part] if len(c) == count else c)[:, None] for c in given]
                held[field.name] = _held(parameter, found)
        blocks.append(_block(family, held, part.stop - part.start, bounded=False))
    volume = np.concatenate([b.moments.volume_mm3 for b in blocks])
    first = np.concatenate([b.moments.first_mm4 for b in blocks])
    second = np.concatenate([b.moments.second_mm5 for b in blocks])
    whole = Moments(volume, first, second)  # type: ignore[arg-type]
    taken = np.concatenate([b.taken for b in blocks])
    return Stack(whole, taken, (), np.ones(len(taken), dtype=bool))


def can_stack(shape: Shape, name: str) -> bool:
    """Whether the numbers of a parameter of a shape may be columns."""
    if isinstance(shape, Turned):
        return True
    return any(f.name == name and p.kind in NUMERIC for f, p in parameters_of(type(shape)))


def variations(shape: Shape, columns: Columns, count: int) -> Stack:
    """Moments of n bodies like one, but for some of its numbers, as one block.

    Args:
        shape: what all bodies have in common.
        columns: the numbers that differ, each of shape (n,).
        count: how many bodies; at most about `BLOCK`, or they leave the cache.
    """
    if isinstance(shape, Turned):
        from shapes.turned_stack import turned_variations

        return turned_variations(shape, columns, count)
    held = {}
    for field, parameter in parameters_of(type(shape)):
        value = getattr(shape, field.name)
        mine = {
            key[1] if len(key) > 1 else 0: column[:, None]
            for key, column in columns.items()
            if key[0] == field.name
        }
        if mine:
            whole = value if parameter.kind in ("lengths", "series") else (value,)
            one = np.ones((1, 1))
            value = _held(parameter, [mine.get(k, number * one) for k, number in enumerate(whole)])
        held[field.name] = value
    return _block(type(shape), held, count, bounded=True)


def _columns(name: str, parameter: Parameter, value: Any) -> tuple[Array, ...]:
    """One column a number of the parameter: shape (n,), or (1,) for a number that all share."""
    if parameter.kind not in NUMERIC:
        raise ShapeError(name, f"a {parameter.kind} cannot vary from body to body")
    array = np.asarray(value, dtype=float)
    if parameter.kind in ("lengths", "series"):
        return tuple(np.atleast_2d(array).T)
    return (np.atleast_1d(array),)


def _block(family: type[Shape], values: Mapping[str, Any], count: int, *, bounded: bool) -> Stack:
    """Moments of bodies whose parameters are numbers, or columns of shape (n, 1) or (1, 1)."""
    stack = object.__new__(family)  # past the checks of a single body, which come below
    taken = np.ones(count, dtype=bool)
    for field, parameter in parameters_of(family):
        value = values[field.name]
        if parameter.kind in NUMERIC:
            several = parameter.kind in ("lengths", "series")
            numbers = value if several else (value,)
            found = [np.asarray(number, dtype=float).reshape(-1, 1) for number in numbers]
            for column in found:
                taken &= _within(parameter, column)[:, 0]
            value = _held(parameter, found)
        object.__setattr__(stack, field.name, value)
    with np.errstate(all="ignore"):  # what the family refuses may be anything
        for rule in stack.rules():
            taken &= np.broadcast_to(np.asarray(rule.holds).ravel(), taken.shape)
        moments = stack.moments()
        hull = stack.hull() if bounded else ()
    return Stack(masked(moments, taken), taken, hull, np.ones(count, dtype=bool))


def masked(moments: Moments, good: Mask) -> Moments:
    """A column of moments, NaN in the rows that are not good."""
    volume = np.asarray(moments.volume_mm3, dtype=float) * np.ones(len(good))
    return Moments(
        np.where(good, volume, np.nan),  # type: ignore[arg-type]
        np.where(good[:, None], moments.first_mm4, np.nan),
        np.where(good[:, None, None], moments.second_mm5, np.nan),
    )


def _held(parameter: Parameter, columns: list[Array]) -> Any:
    """Columns as a shape holds them."""
    return tuple(columns) if parameter.kind in ("lengths", "series") else columns[0]


def _within(parameter: Parameter, column: Array) -> Mask:
    """The range of a parameter for a whole column; `Parameter.objection` says it for one number."""
    good = np.isfinite(column)
    if parameter.kind == "count":
        good &= column == np.floor(column)
    if parameter.above is not None:
        good &= column > parameter.above
    if parameter.at_least is not None:
        good &= column >= parameter.at_least
    if parameter.at_most is not None:
        good &= column <= parameter.at_most
    return np.asarray(good)
