"""What a folder holds: its files, and what they were found to hold when they were read back."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pipeline.comparison import Comparison
from pipeline.errors import KernelFault


@dataclass(frozen=True)
class PackageFile:
    """One file of a package.

    Attributes:
        name: within its folder.
        what: what it is, in words.
        size_bytes, sha256: of its bytes.
        sag_mm: of an STL file: how far it was found to lie from the surface; None for others.
    """

    name: str
    what: str
    size_bytes: int
    sha256: str
    sag_mm: float | None = None


@dataclass(frozen=True)
class Package:
    """What was written: the files, the STEP file first, and the comparisons, all passed."""

    files: tuple[PackageFile, ...]
    comparisons: tuple[Comparison, ...]


def write_json(path: Path, value: Any) -> None:
    """Write plain values as JSON, the same bytes on every system."""
    text = json.dumps(value, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    path.write_text(text, encoding="utf-8", newline="\n")


def together(packages: Sequence[Package]) -> Package:
    """Several packages as one, in their order."""
    return Package(
        tuple(file for one in packages for file in one.files),
        tuple(row for one in packages for row in one.comparisons),
    )


def check_rows(rows: Sequence[Comparison]) -> None:
    """Raise `KernelFault` that tells every comparison that did not pass."""
    failed = [row for row in rows if not row.passed]
    if failed:
        said = "\n".join(
            f"{row.file}: {row.quantity}{f' of {row.body}' if row.body else ''}: read back "
            f"{row.found}, due {row.due} {row.unit} within {row.tolerance:g}"
            for row in failed
        )
        raise KernelFault(f"a file that was read back is not what it should be:\n{said}")


def file_of(path: Path, what: str, name: str) -> PackageFile:
    """A file as a manifest lists it, by its name within its folder."""
    data = path.read_bytes()
    return PackageFile(name, what, len(data), hashlib.sha256(data).hexdigest())
