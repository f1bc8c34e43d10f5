"""Elementary functions of one number or of a column of them.

NumPy's own take ten times as long for one number, and the weighing of a body is little else.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from shapes.moments import Column


def sqrt(x: Column) -> Column:
    """Square root; NaN below zero."""
    if isinstance(x, float):
        return math.sqrt(x) if x >= 0.0 else math.nan
    return np.sqrt(x)


def hypot(x: Column, y: Column) -> Column:
    """sqrt(x^2 + y^2)."""
    return math.hypot(x, y) if isinstance(x, float) and isinstance(y, float) else np.hypot(x, y)


def arctan2(y: Column, x: Column) -> Column:
    """Angle of a point, radians."""
    return math.atan2(y, x) if isinstance(x, float) and isinstance(y, float) else np.arctan2(y, x)


def tan(x: Column) -> Column:
    """Tangent of an angle in radians."""
    return math.tan(x) if isinstance(x, float) else np.tan(x)


def sin(x: Column) -> Column:
    """Sine of an angle in radians."""
    return math.sin(x) if isinstance(x, float) else np.sin(x)


def cos(x: Column) -> Column:
    """Cosine of an angle in radians."""
    return math.cos(x) if isinstance(x, float) else np.cos(x)


def ratio(a: Column, b: Column) -> Column:
    """Quotient; NaN where the divisor of one number is zero."""
    if isinstance(b, float) and isinstance(a, float):
        return a / b if b != 0.0 else math.nan
    return a / b


def where(holds: Any, a: Column, b: Column) -> Column:
    """A where something holds, else b."""
    if isinstance(holds, bool):
        return a if holds else b
    return np.where(holds, a, b)
