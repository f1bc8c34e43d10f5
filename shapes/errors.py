"""What can go wrong with a shape.

ValueError
  ShapeError      a parameter, or the way parameters go together, makes no body
RuntimeError
  SolidError      the CAD kernel gave something that is not the one valid solid asked for
ImportError
  KernelMissing   the CAD kernel, or a system library that it links, cannot be loaded
"""


class ShapeError(ValueError):
    """A parameter of a shape makes no body.

    Args:
        field: name of the parameter, with an index where it has one (``profile[3]``).
        reason: what was found and what is allowed, as a sentence without the field's name.
    """

    def __init__(self, field: str, reason: str) -> None:
        super().__init__(f"{field}: {reason}")
        self.field = field
        self.reason = reason


class SolidError(RuntimeError):
    """The CAD kernel did not give the one valid solid that was asked for."""


class KernelMissing(ImportError):
    """The CAD kernel or the renderer, or a system library that it links, cannot be loaded."""
