"""A design file with other numbers: the same text, byte for byte, but for those."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from pipeline.document import decode, parse
from pipeline.errors import CorewrightError
from pipeline.fields import Number
from pipeline.load import numbers_in, read_design

_DIGITS = {"in": 5, "mm": 4, "cm": 5, "g/cm3": 5, "g/mL": 5, "lb": 5, "oz": 4, "g": 2, "deg": 4}


def rewritten(
    source: bytes, numbers: Mapping[str, float], folder: Path | None = None, mark: str = "fitted"
) -> bytes:
    """The text with other numbers, each line that changed with a remark what stood there.

    A number keeps the unit that it was written in, and gets as many decimals as its unit is told
    with, so that the file says just what it is weighed with.

    Args:
        source: a design that can be read.
        numbers: inner units, by the path of the field.
        folder: where files that it refers to are.
        mark: the word before the remark; nothing leaves remarks out.
    """
    text = decode(source, "design")
    known = numbers_in(source, folder)
    edits = []
    for path, value in numbers.items():
        number = known[path]
        new = written(value, number)
        if new != number.scalar.text:
            edits.append((number.scalar.begin, number.scalar.end, new, number.scalar, path))
    plain = _edited(text, edits, "")
    if mark:
        marked = _edited(text, edits, mark)
        if _same(marked, plain, folder):
            plain = marked
    start = b"\xef\xbb\xbf" if source.startswith(b"\xef\xbb\xbf") else b""
    return start + plain.encode()


def written(value: float, number: Number) -> str:
    """A value as it stands in the file, in the unit of what stood there."""
    digits = f"{value / number.size:.{_DIGITS.get(number.unit, 5)}f}"
    digits = digits.rstrip("0").rstrip(".")
    return ("0" if digits in ("-0", "") else digits) + number.suffix


def _edited(text: str, edits: list[tuple], mark: str) -> str:  # type: ignore[type-arg]
    remarks: dict[int, list[str]] = {}
    for begin, end, new, scalar, path in sorted(edits, reverse=True):
        quote = text[begin] if scalar.quoted and text[begin] in "'\"" else ""
        text = f"{text[:begin]}{quote}{new}{quote}{text[end:]}"
        field = re.sub(r"^parts\[\d+\]\.", "", path)
        remarks.setdefault(scalar.line - 1, []).insert(0, f"{field} was {scalar.text}")
    if not mark:
        return text
    lines = text.splitlines(keepends=True)
    for k, said in remarks.items():
        bare = lines[k].rstrip("\r\n")
        kept = re.sub(rf"\s+# {mark}: .*", "", bare)  # a remark of an earlier time
        lines[k] = f"{kept}  # {mark}: {', '.join(said)}{lines[k][len(bare) :]}"
    return "".join(lines)


def _same(one: str, other: str, folder: Path | None) -> bool:
    """Whether two texts are one design: a remark could land inside a text of several lines."""
    try:
        return parse(one, "") is not None and _bare(one, folder) == _bare(other, folder)
    except CorewrightError:
        return False


def _bare(text: str, folder: Path | None) -> object:
    design = read_design(text, folder=folder)
    return design.parts, design.materials, design.weight_g, design.wanted.aims, design.notes
