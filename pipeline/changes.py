"""What changed between two tooling packages: figures, checks, faces, files."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pipeline.errors import OutputError
from pipeline.manifest import NotOurs, read_manifest

LETTER, CHANGES = PAGES = "README.md", "CHANGES.md"  # which follow from the rest
_SAME_MM = 0.002  # centres and areas are told to a thousandth
_MOST = 200  # lines of one kind


@dataclass(frozen=True)
class Change:
    """One thing that is not as it was: of which kind, what, and how."""

    kind: str
    what: str
    how: str


def earlier(folder: Path) -> Mapping[str, Any]:
    """The manifest of an earlier tooling package.

    Raises:
        OutputError: there is none, or it is of another kind of folder.
    """
    try:
        data = read_manifest(folder)
    except NotOurs as error:
        raise OutputError(f"--since {folder}: {error}") from error
    try:
        changes(data, data)
    except (KeyError, TypeError, AttributeError, ValueError) as error:
        made_by = data.get("made_by", "another command")
        raise OutputError(
            f"--since {folder}: it was made by `corewright {made_by}` and does not tell of "
            "castings, checks and faces; give a folder that this version's `handover` made"
        ) from error
    return data


def changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> tuple[Change, ...]:
    """What changed from one manifest to the other, both of tooling packages."""
    return (
        *_design(before["design"], after["design"]),
        *_values("casting", _named(before["castings"]), _named(after["castings"])),
        *_values("check", _checks(before["findings"]), _checks(after["findings"])),
        *_faces(before["faces"], after["faces"]),
        *_files(before["files"], after["files"]),
    )


def told(found: Sequence[Change], since: str) -> str:
    """The changes as a Markdown page."""
    lines = [f"# Changes since {since}", ""]
    if not found:
        return "\n".join([*lines, "Nothing changed: design, castings, checks, faces, files.", ""])
    for kind in dict.fromkeys(change.kind for change in found):
        own = [change for change in found if change.kind == kind]
        lines += [f"## {kind}: {len(own)}", "", "| what | how |", "| --- | --- |"]
        lines += [f"| {_cell(one.what)} | {_cell(one.how)} |" for one in own[:_MOST]]
        if len(own) > _MOST:
            lines.append(f"| and {len(own) - _MOST} more | |")
        lines.append("")
    return "\n".join(lines)


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def _design(before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[Change]:
    for key in ("name", "revision", "date", "sha256"):
        old, new = before.get(key), after.get(key)
        if old != new:
            short = [str(value)[:12] if key == "sha256" else str(value) for value in (old, new)]
            yield Change("design", key, f"{short[0]} -> {short[1]}")


def _named(castings: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Every fact of every casting by its name."""
    return {
        f"{casting['name']}: {key}": value
        for casting in castings
        for key, value in casting["facts"].items()
    }


def _checks(findings: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Value and verdict of every check by its name."""
    return {
        f"{row['casting']}: {row['rule']}": (
            f"{'undefined' if row['value'] is None else row['value']} {row['unit']}, "
            f"{row['verdict']} ({row['limit']})"
        )
        for row in findings
    }


def _values(kind: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[Change]:
    for name in dict.fromkeys([*before, *after]):
        if name not in after:
            yield Change(kind, name, f"{before[name]} -> gone")
        elif name not in before:
            yield Change(kind, name, f"new: {after[name]}")
        elif before[name] != after[name]:
            yield Change(kind, name, f"{before[name]} -> {after[name]}")


def _faces(
    before: Mapping[str, Sequence[Any]], after: Mapping[str, Sequence[Any]]
) -> Iterator[Change]:
    """Faces that are not there any more, and new ones; a face that moved is both."""
    for name in dict.fromkeys([*before, *after]):
        old, new = list(before.get(name, [])), list(after.get(name, []))
        for face in list(old):
            same = next((other for other in new if _alike(face, other)), None)
            if same is not None:
                old.remove(face)
                new.remove(same)
        yield from (Change("face", f"{name}: {_face(face)}", "gone") for face in old)
        yield from (Change("face", f"{name}: {_face(face)}", "new") for face in new)


def _alike(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    gaps = [abs(a - b) for a, b in zip(one["centre_mm"], other["centre_mm"], strict=True)]
    near = max(gaps) <= _SAME_MM and abs(one["area_mm2"] - other["area_mm2"]) <= _SAME_MM
    return bool(one["kind"] == other["kind"] and near)


def _face(face: Mapping[str, Any]) -> str:
    x, y, z = face["centre_mm"]
    return f"{face['kind']} of {face['area_mm2']:g} mm2 about [{x:g}, {y:g}, {z:g}] mm"


def _files(before: Sequence[Any], after: Sequence[Any]) -> Iterator[Change]:
    old, new = (
        {row["name"]: row["sha256"] for row in rows if row["name"] not in PAGES}
        for rows in (before, after)
    )
    for name in sorted({*old, *new}):
        if name not in new:
            yield Change("file", name, "gone")
        elif name not in old:
            yield Change("file", name, "new")
        elif old[name] != new[name]:
            yield Change("file", name, "other bytes")
