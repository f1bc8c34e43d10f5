"""What may stand in a design file: kinds of value that read, refuse and document themselves.

A kind is declared once and used three times: to read a node (with every problem noted and none
raised, so that all are reported together), to write the JSON Schema, and to write the reference.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import Any, Protocol

from pipeline.document import Node, Scalar
from pipeline.errors import Problem
from pipeline.units import Quantity, QuantityError, parse_quantity
from shapes.attachment import Attachment


class Bad:
    """What a value reads as when it was refused; the problem is noted already."""


BAD = Bad()


@dataclass(frozen=True)
class Number:
    """A number of a design file, where it was read.

    Attributes:
        value: in the inner unit.
        kind: what it may be.
        scalar: as written, and where.
        bare: the unit of a bare number there, if any.
    """

    value: float
    kind: QuantityKind | NumberKind
    scalar: Scalar
    bare: str | None = None

    @property
    def suffix(self) -> str:
        """The unit as it is written behind the number, with its space; nothing for a bare one."""
        found = re.search(r"(?<=[\d. ])\s*[A-Za-z\"%][\w/\"]*\s*$", self.scalar.text)
        return found[0] if found else ""

    @property
    def unit(self) -> str:
        """The unit that it is written in; nothing for a number without one."""
        if not isinstance(self.kind, QuantityKind):
            return ""
        return self.suffix.strip() or self.bare or ""

    @property
    def size(self) -> float:
        """Of that unit, in the inner one."""
        kind = self.kind
        return kind.quantity.units[self.unit] if isinstance(kind, QuantityKind) else 1.0


@dataclass
class Reading:
    """One pass over a file: the unit of bare lengths, and the problems found so far.

    Attributes:
        bare_length: the unit of a bare length.
        folder: where files that the design refers to are; None when it came from no file.
        files: those that were read, by the name in the design.
        numbers: those that were read, by the path of their field.
        problems: found so far.
        unitless_said: one missing 'units' explains every length without a unit.
    """

    bare_length: str | None = None
    folder: Path | None = None
    files: dict[str, Attachment] = field(default_factory=dict)
    numbers: dict[str, Number] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    unitless_said: bool = False

    def refuse(
        self,
        node: Node | None,
        line: int,
        path: str,
        allowed: str,
        why: str = "",
        advice: str = "",
    ) -> Bad:
        """Note a problem and go on."""
        read = f"read {node.shown}" if node is not None else "nothing is there"
        if why:
            read += f": {why}"
        self.problems.append(Problem(line, path, read, f"allowed: {allowed}", advice))
        return BAD


class Kind(Protocol):
    """One kind of value."""

    @property
    def allowed(self) -> str:
        """What may stand there, for messages and the reference."""

    def read(self, node: Node, path: str, reading: Reading) -> Any:
        """The value, or `BAD` once the problem is noted."""

    def schema(self) -> dict[str, Any]:
        """Its JSON Schema."""


def closest(word: str, words: Sequence[str]) -> str:
    """The word that is most like the given one, or nothing."""
    found = get_close_matches(word, words, n=1, cutoff=0.6)
    return found[0] if found else ""


def nearest(word: str, words: Sequence[str]) -> str:
    """Advice that names the nearest word, or nothing."""
    near = closest(word, words)
    return f"did you mean '{near}'?" if near else ""


@dataclass(frozen=True)
class QuantityKind:
    """A length, mass, density or angle.

    Attributes:
        quantity: which units there are.
        bare: the unit of a bare number; 'units' for the file's own; None when one must be written.
        above: the value must be greater than this, in the inner unit.
        at_least: or at least this.
        at_most: or at most this.
    """

    quantity: Quantity
    bare: str | None = None
    above: float | None = None
    at_least: float | None = None
    at_most: tuple[float, str] | None = None

    @property
    def allowed(self) -> str:
        limits = _limits(self.above, self.at_least)
        if self.at_most is not None:
            limits.append(self.at_most[1])
        return ", ".join([self.quantity.allowed, *limits])

    def read(self, node: Node, path: str, reading: Reading) -> float | Bad:
        if not isinstance(node, Scalar):
            return reading.refuse(node, node.line, path, self.allowed)
        bare = reading.bare_length if self.bare == "units" else self.bare
        try:
            value = parse_quantity(node.text, self.quantity, bare)
        except QuantityError as error:
            advice = f"did you mean '{error.nearest}'?" if error.nearest else ""
            if self.bare == "units" and error.unitless:
                if reading.unitless_said:
                    return BAD
                reading.unitless_said = True
                advice = "write 'units: in' at the top of the file, or a unit with every length"
            return reading.refuse(node, node.line, path, self.allowed, str(error), advice)
        at_most = None if self.at_most is None else self.at_most[0]
        why = _objection(value, self.above, self.at_least, at_most)
        if why:
            return reading.refuse(node, node.line, path, self.allowed, why)
        reading.numbers[path] = Number(value, self, node, bare)
        return value

    def schema(self) -> dict[str, Any]:
        units = "|".join(re.escape(unit) for unit in self.quantity.units)
        number = r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?"
        fraction = r"|[+-]?(\d+[ -])?\d+/\d+" if self.quantity.fractions else ""
        unit = f"\\s*({units})" if self.bare is None else f"(\\s*({units}))?"
        text = {"type": "string", "pattern": f"^\\s*({number}{fraction}){unit}\\s*$"}
        if self.bare is None:
            return text
        plain: dict[str, Any] = {"type": "number"}
        if self.bare != "units" or self.above == 0.0:
            if self.above is not None:
                plain["exclusiveMinimum"] = self.above
            if self.at_least is not None:
                plain["minimum"] = self.at_least
            if self.at_most is not None and self.bare != "units":
                plain["maximum"] = self.at_most[0]
        return {"anyOf": [plain, text]}


@dataclass(frozen=True)
class NumberKind:
    """A number without a unit.

    Attributes:
        above: the value must be greater than this.
        at_least: or at least this.
        at_most: and at most this.
        whole: it is a whole number.
    """

    above: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    whole: bool = False

    @property
    def allowed(self) -> str:
        limits = _limits(self.above, self.at_least)
        if self.at_most is not None:
            limits.append(f"at most {self.at_most:g}")
        return ", ".join(["a whole number" if self.whole else "a number", *limits])

    def read(self, node: Node, path: str, reading: Reading) -> float | Bad:
        if isinstance(node, Scalar) and re.fullmatch(
            r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", node.text
        ):
            value = float(node.text)
            if math.isfinite(value) and not (self.whole and value != int(value)):
                why = _objection(value, self.above, self.at_least, self.at_most)
                if why:
                    return reading.refuse(node, node.line, path, self.allowed, why)
                reading.numbers[path] = Number(value, self, node)
                return int(value) if self.whole else value
        return reading.refuse(node, node.line, path, self.allowed)

    def schema(self) -> dict[str, Any]:
        found: dict[str, Any] = {"type": "integer" if self.whole else "number"}
        if self.above is not None:
            found["exclusiveMinimum"] = self.above
        if self.at_least is not None:
            found["minimum"] = self.at_least
        if self.at_most is not None:
            found["maximum"] = self.at_most
        return found


def _limits(above: float | None, at_least: float | None) -> list[str]:
    found = []
    if above is not None:
        found.append(f"greater than {above:g}")
    if at_least is not None:
        found.append(f"at least {at_least:g}")
    return found


def _objection(
    value: float, above: float | None, at_least: float | None, at_most: float | None
) -> str:
    if above is not None and not value > above:
        return f"it is not greater than {above:g}"
    if at_least is not None and not value >= at_least:
        return f"it is less than {at_least:g}"
    if at_most is not None and not value <= at_most:
        return "it is too much"
    return ""


@dataclass(frozen=True)
class TextKind:
    """A name or a text.

    Attributes:
        pattern: what it must match as a whole.
        allowed: the same in words.
    """

    pattern: str
    allowed: str
    number: dict[str, Any] | None = None

    def read(self, node: Node, path: str, reading: Reading) -> str | Bad:
        if not isinstance(node, Scalar) or not re.fullmatch(self.pattern, node.text):
            return reading.refuse(node, node.line, path, self.allowed)
        return node.text

    def schema(self) -> dict[str, Any]:
        if self.number is not None:
            text = {"type": "string", "pattern": f"^(?:{self.pattern})$"}
            return {"anyOf": [{"type": "number", **self.number}, text]}
        # a bare 3 or 2026-11-25 is text here, whatever YAML makes of it
        return {"type": ["string", "number"], "pattern": f"^(?:{self.pattern})$"}


@dataclass(frozen=True)
class ChoiceKind:
    """One of a few words."""

    words: tuple[str, ...]

    @property
    def allowed(self) -> str:
        return ", ".join(self.words)

    def read(self, node: Node, path: str, reading: Reading) -> str | Bad:
        if isinstance(node, Scalar) and node.text in self.words:
            return node.text
        advice = nearest(node.text, self.words) if isinstance(node, Scalar) else ""
        return reading.refuse(node, node.line, path, self.allowed, advice=advice)

    def schema(self) -> dict[str, Any]:
        return {"enum": list(self.words)}
