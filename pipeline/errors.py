"""What can go wrong, as the engineer is told it.

Exception
  CorewrightError        the base: its text is for the engineer, without a traceback
    DesignError          the design file cannot be used; carries every problem found
    BallError            the design is well formed, but no such ball exists
      OutOfReach         its weight asks for a density outside its bounds
      NeedsSolids        its parts cross so that only solids can tell, which was not asked for
    ToolingError         a casting cannot be made in the mould that the design asks for
    RoutesDisagree       the routes to the figures differ by more than their bounds
    OutputError          the result cannot be written where it was asked for
    SystemLibraryError   the CAD kernel or the renderer lacks a library of the system
  KernelFault            the CAD kernel or a reader contradicts the exact figures: ours to mend
"""

from __future__ import annotations

from dataclasses import dataclass


class CorewrightError(Exception):
    """The base of everything an engineer can put right."""


@dataclass(frozen=True, order=True)
class Problem:
    """One thing wrong with a design file.

    Attributes:
        line: 1-based line in the file; 0 when the whole file is meant.
        field: path of the field, such as ``parts[0].diameter``; empty for the whole file.
        read: what stands there.
        allowed: what may stand there.
        advice: what to do, such as the nearest word; may be empty.
    """

    line: int
    field: str
    read: str
    allowed: str
    advice: str = ""

    def said(self, file: str) -> str:
        """The problem in one line."""
        place = f"{file}:{self.line}" if self.line else file
        field = f" {self.field}:" if self.field else ""
        advice = f"; {self.advice}" if self.advice else ""
        allowed = f"; {self.allowed}" if self.allowed else ""
        return f"{place}:{field} {self.read}{allowed}{advice}"


class DesignError(CorewrightError):
    """The design file cannot be used.

    Args:
        file: the file's name as the engineer gave it.
        problems: all that was found, in the order of the file.
    """

    def __init__(self, file: str, problems: list[Problem]) -> None:
        self.file = file
        self.problems = tuple(sorted(problems))
        super().__init__("\n".join(problem.said(file) for problem in self.problems))


class BallError(CorewrightError):
    """The design is well formed, but its parts make no ball."""


class OutOfReach(BallError):
    """The ball's weight asks for a density outside the bounds of the free one."""


class NeedsSolids(BallError):
    """Parts share space in a way that only solids can weigh, and those were not to be built."""


class ToolingError(CorewrightError):
    """A casting cannot be made in the mould that the design asks for."""


class RoutesDisagree(CorewrightError):
    """The routes to the figures differ by more than their bounds; nothing was written."""


class OutputError(CorewrightError):
    """The result cannot be written where it was asked for."""


class SystemLibraryError(CorewrightError):
    """The CAD kernel or the renderer lacks a library of the system."""


class KernelFault(Exception):
    """The CAD kernel or a reader contradicts the exact figures; nothing was written."""
