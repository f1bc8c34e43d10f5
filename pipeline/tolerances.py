"""General tolerances on lengths after ISO 2768-1:1989, table 1.

The standard itself was not read: two stored public copies of its table agree with these values and
with memory, a third gives finer ones for coarse sizes up to 6 mm.  It is written for material that
is removed; castings have standards of their own (ISO 8062-3, ISO 20457; from memory), so the class
is a shop's promise for what it cuts, and a guide for what it casts.
"""

from __future__ import annotations

from itertools import pairwise

STANDARD = "ISO 2768-1"
SIZES_MM = (0.5, 3.0, 6.0, 30.0, 120.0, 400.0)
CLASSES: dict[
    str, tuple[str, tuple[float | None, ...]]
] = {  # letter; +- mm for each range of sizes
    "fine": ("f", (0.05, 0.05, 0.1, 0.15, 0.2)),
    "medium": ("m", (0.1, 0.1, 0.2, 0.3, 0.5)),
    "coarse": ("c", (0.2, 0.3, 0.5, 0.8, 1.2)),
    "very coarse": ("v", (None, 0.5, 1.0, 1.5, 2.5)),
}


def deviation_mm(size_mm: float, word: str) -> float | None:
    """How far a length may be off either way; None for a size that the table leaves open.

    >>> deviation_mm(108.6, "medium")
    0.3
    """
    _, allowed = CLASSES[word]
    for (low, high), deviation in zip(pairwise(SIZES_MM), allowed, strict=True):
        if low <= size_mm <= high and (size_mm > low or low == SIZES_MM[0]):
            return deviation
    return None


def named(word: str) -> str:
    """As a drawing says it.

    >>> named("medium")
    'ISO 2768-m'
    """
    return f"{STANDARD.removesuffix('-1')}-{CLASSES[word][0]}"
