"""Everything that a tooling package tells of, before any file is written."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.ball import Ball
from pipeline.casting_checks import Measured, check_ball, check_casting, measured
from pipeline.castings import Casting, castings_of
from pipeline.checked import Checked
from pipeline.mould_checks import check_tool
from pipeline.moulds import Tool, tool_of
from pipeline.partings import Released, released, splits_of


@dataclass(frozen=True, eq=False)
class Tooling:
    """A ball's castings with their moulds and checks.

    Attributes:
        ball: the ball.
        castings: inside out.
        tools: the moulds, of those castings that have one.
        out: how each mould comes off its casting, in the order of the tools.
        measured: walls and faces of each casting.
        checks: of the ball, the castings and the moulds.
    """

    ball: Ball
    castings: tuple[Casting, ...]
    tools: tuple[Tool, ...]
    out: tuple[Released, ...]
    measured: tuple[Measured, ...]
    checks: tuple[Checked, ...]

    def tool(self, casting: Casting) -> Tool | None:
        """The mould of a casting; None for one without."""
        return next((tool for tool in self.tools if tool.casting is casting), None)


def tooling_of(ball: Ball) -> Tooling:
    """Castings, moulds and checks of an undrilled ball.

    Raises:
        ToolingError: a casting or its mould cannot be made as the design asks.
        KernelFault: the kernel's solids are not what the design asks for.
    """
    castings = castings_of(ball)
    tools = tuple(tool_of(ball, c, splits_of(ball, c)) for c in castings if c.mould != "none")
    out = tuple(released(ball, tool) for tool in tools)
    found = tuple(measured(casting) for casting in castings)
    checks = (
        *check_ball(ball, found),
        *(check for one in found for check in check_casting(one)),
        *(check for tool, r in zip(tools, out, strict=True) for check in check_tool(tool, r)),
    )
    order = ["ball", *(casting.name for casting in castings)]
    return Tooling(
        ball, castings, tools, out, found,
        tuple(sorted(checks, key=lambda one: order.index(one.casting))),
    )  # fmt: skip
