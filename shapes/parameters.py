"""How a shape family says what its parameters are, so that files, schema and docs can be made.

A family is a frozen dataclass; each field is annotated with one `Parameter`:

    diameter: Annotated[float, Parameter("length", "full width", above=0.0)]

The kinds and the values they stand for:

    length    float, mm
    lengths   tuple of three floats, mm (x, y, z)
    series    tuple of any number of floats, mm
    angle     float, degrees
    number    float, no unit
    count     int
    word      str, one of a few
    profile   tuple of profile steps, see `shapes.turned`
    shape     a shape as drawn
    body      a shape where it stands, see `shapes.placed`
    bodies    tuple of those
    file      a file beside the design, see `shapes.attachment`
    text      str

A number that a shape holds may also be a column of them, shape (n, 1): see `shapes.stack`.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Hashable
from functools import cache
from typing import Any, Literal, cast, get_type_hints

from shapes.errors import ShapeError

Kind = Literal[
    "length", "lengths", "series", "angle", "number", "count", "word", "profile", "shape", "body",
    "bodies", "file", "text",
]  # fmt: skip
NUMERIC = ("length", "lengths", "series", "angle", "number", "count")


@dataclasses.dataclass(frozen=True)
class Parameter:
    """What one parameter of a family is.

    Attributes:
        kind: see the module's list.
        says: one line for the reference, without a full stop.
        above: the value, or each of the three, must be greater than this.
        at_least: or at least this.
        at_most: and at most this.
        words: what a word may be.
        typical: a value for examples, where the field has no default.
    """

    kind: Kind
    says: str
    above: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    words: tuple[str, ...] = ()
    typical: Any = None

    def objection(self, value: float) -> str | None:
        """Why a single number is not allowed, or None."""
        if not math.isfinite(value):
            return f"{value} is not a finite number"
        if self.kind == "count" and value != int(value):
            return f"{value:g} is not a whole number"
        if self.above is not None and not value > self.above:
            return f"{value:g} is not greater than {self.above:g}"
        if self.at_least is not None and not value >= self.at_least:
            return f"{value:g} is less than {self.at_least:g}"
        if self.at_most is not None and not value <= self.at_most:
            return f"{value:g} is more than {self.at_most:g}"
        return None


@cache
def parameters_of(family: type[Any]) -> tuple[tuple[dataclasses.Field[Any], Parameter], ...]:
    """The fields of a family with what they are, in the order of the dataclass."""
    hints = get_type_hints(family, include_extras=True)
    found = []
    for field in dataclasses.fields(family):
        (parameter,) = (m for m in hints[field.name].__metadata__ if isinstance(m, Parameter))
        found.append((field, parameter))
    return tuple(found)


def check_parameters(shape: Any) -> None:
    """Hold every plain number of a shape against its parameter; raise `ShapeError` at the first."""
    family = cast("Hashable", type(shape))  # a class is hashable, which its stub does not say
    for field, parameter in parameters_of(family):
        value = getattr(shape, field.name)
        if parameter.kind == "word" and value not in parameter.words:
            raise ShapeError(field.name, f"'{value}' is none of {', '.join(parameter.words)}")
        if parameter.kind not in NUMERIC:
            continue
        numbers = value if parameter.kind in ("lengths", "series") else (value,)
        if parameter.kind == "lengths" and len(numbers) != 3:
            raise ShapeError(field.name, f"{len(numbers)} lengths where x, y and z are due")
        for number in numbers:
            reason = parameter.objection(number)
            if reason:
                raise ShapeError(field.name, reason)
