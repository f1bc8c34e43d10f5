"""The list of a folder's files by size and hash, by which the folder is known as ours."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pipeline.folder import FORMAT, MANIFEST
from pipeline.package_files import file_of, write_json


def list_files(folder: Path, made_by: str, more: Mapping[str, Any]) -> None:
    """Write the manifest of all that lies in a folder.

    Args:
        folder: what to list.
        made_by: the command; empty for none.
        more: what else to say: plain values, as JSON has them.
    """
    rows = []
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            row = file_of(path, "", path.relative_to(folder).as_posix())
            rows.append({"name": row.name, "size_bytes": row.size_bytes, "sha256": row.sha256})
    head = {"format": FORMAT, **({"made_by": made_by} if made_by else {})}
    write_json(folder / MANIFEST, {**head, **more, "files": rows})
