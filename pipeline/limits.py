"""The governing body's limits as dated data: each with its source and how sure we are of it."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from importlib.resources import files
from typing import Literal

from pipeline.units import G_PER_LB

Confidence = Literal["G", "S", "M"]
CONFIDENCE = {
    "G": "text of the governing body seen",
    "S": "second-hand quotation",
    "M": "from memory, unverified",
}
ROUNDING = 1e-9  # a figure on a limit is on it, whatever the last bit of a conversion says


@dataclass(frozen=True)
class Limit:
    """One rule.

    Attributes:
        rule: what it is about.
        figure: name of the figure it holds.
        unit: of the figure and its limits.
        source: where the rule was read.
        confidence: G, S or M, see `CONFIDENCE`.
        least: the figure must be at least this.
        most: or at most this.
        strict: whether a figure on the limit breaks it.
        weight_from_lb, weight_above_lb, weight_to_lb, weight_below_lb: the ball weights that the
            rule is known for: at least, more than, at most, less than.
    """

    rule: str
    figure: str
    unit: str
    source: str
    confidence: Confidence
    least: float | None = None
    most: float | None = None
    strict: bool = False
    weight_from_lb: float | None = None
    weight_above_lb: float | None = None
    weight_to_lb: float | None = None
    weight_below_lb: float | None = None

    def covers(self, weight_lb: float) -> bool:
        """Whether the rule is known for a ball of this weight."""
        return (
            (self.weight_from_lb is None or weight_lb >= self.weight_from_lb - ROUNDING)
            and (self.weight_above_lb is None or weight_lb > self.weight_above_lb + ROUNDING)
            and (self.weight_to_lb is None or weight_lb <= self.weight_to_lb + ROUNDING)
            and (self.weight_below_lb is None or weight_lb < self.weight_below_lb - ROUNDING)
        )

    @property
    def words(self) -> str:
        """The limit as text."""
        if self.least is not None and self.most is not None:
            return f"{self.least:g} to {self.most:g} {self.unit}"
        if self.least is not None:
            return f"at least {self.least:g} {self.unit}"
        return f"{'less than' if self.strict else 'at most'} {self.most:g} {self.unit}"

    @property
    def weights(self) -> str:
        """The ball weights that the rule is known for, as text."""
        bounds = (
            ("from", self.weight_from_lb),
            ("above", self.weight_above_lb),
            ("to", self.weight_to_lb),
            ("below", self.weight_below_lb),
        )
        return " ".join(f"{word} {x:g} lb" for word, x in bounds if x is not None) or "all"

    def margin(self, value: float) -> float:
        """How far inside the limit a value is; negative outside."""
        inside = [self.most - value] if self.most is not None else []
        if self.least is not None:
            inside.append(value - self.least)
        return min(inside)


def _read(name: str) -> tuple[str, tuple[Limit, ...]]:
    data = tomllib.loads(files("pipeline").joinpath(name).read_text("utf-8"))
    return data.get("as_of", ""), tuple(Limit(**row) for row in data["limit"])


AS_OF, LIMITS = _read("limits.toml")
_, DRILLING_LIMITS = _read("drilling.toml")
COMPONENT_DENSITY_G_CM3 = next(
    limit.most for limit in LIMITS if limit.rule == "component density" and limit.most is not None
)


def limits_on_rg(weight_g: float | None) -> list[Limit]:
    """The limits on RG and total differential that are known at a ball weight; all for none."""
    figures = ("low_rg_in", "high_rg_in", "total_differential_in")
    return [
        limit
        for limit in LIMITS
        if limit.figure in figures and (weight_g is None or limit.covers(weight_g / G_PER_LB))
    ]
