"""Shape families that installed Python packages add through the entry point `corewright.shapes`.

An entry point's name is the word for design files, its object a family as those in
`shapes.registry` are.  A package is loaded only when a design or a listing asks for its word, and a
design file itself never runs code.
"""

from __future__ import annotations

import inspect
import re
from functools import cache
from importlib.metadata import EntryPoint, entry_points
from typing import Any, NamedTuple

from shapes.errors import ShapeError
from shapes.parameters import parameters_of
from shapes.registry import FAMILIES
from shapes.shape import Shape

GROUP = "corewright.shapes"
_WORD = re.compile(r"[a-z][a-z0-9_-]*")
_KINDS = (
    "length", "lengths", "series", "angle", "number", "count", "word", "profile", "body", "bodies",
    "file", "text",
)  # fmt: skip


class Added(NamedTuple):
    """What a package adds.

    Attributes:
        word: for design files.
        package: name and version of the distribution.
        family: the class, or None when it cannot be used.
        fault: why it cannot.
    """

    word: str
    package: str
    family: type[Shape] | None
    fault: str


def words() -> tuple[str, ...]:
    """Every word that a design may use for a shape; no package is loaded for it."""
    return (*FAMILIES, *sorted({e.name for e in _entries()} - set(FAMILIES)))


def family_of(word: str) -> type[Shape]:
    """The family with a word, loading the package that adds it.

    Raises:
        ShapeError: the package that adds it cannot be used.
    """
    if word in FAMILIES:
        return FAMILIES[word]
    found = _added(next(k for k, entry in enumerate(_entries()) if entry.name == word))
    if found.family is None:
        raise ShapeError("shape", f"'{word}', which {found.package} adds, cannot be used: "
                         f"{found.fault}")  # fmt: skip
    return found.family


def added() -> tuple[Added, ...]:
    """What every package adds, the unusable with its fault, by word."""
    return tuple(_added(k) for k in range(len(_entries())))


@cache
def _entries() -> tuple[EntryPoint, ...]:
    return tuple(sorted(entry_points(group=GROUP), key=lambda e: (e.name, _package(e), e.value)))


def _package(entry: EntryPoint) -> str:
    return "an unknown package" if entry.dist is None else f"{entry.dist.name} {entry.dist.version}"


@cache
def _added(index: int) -> Added:
    entry = _entries()[index]
    fault = _clash(entry)
    family: Any = None
    if not fault:
        try:
            family = entry.load()
            fault = _objection(family)
        except Exception as error:  # whatever a package does wrong is its own fault, not ours
            fault = f"loading {entry.value} failed with {type(error).__name__}: {error}"
    return Added(entry.name, _package(entry), None if fault else family, fault)


def _clash(entry: EntryPoint) -> str:
    """Why its word cannot be had."""
    if entry.name in FAMILIES:
        return "the word belongs to a family of Corewright's own, which stays"
    if not _WORD.fullmatch(entry.name):
        return "a word is made of small letters, digits, - and _, and begins with a letter"
    others = {_package(e) for e in _entries() if e.name == entry.name and e is not entry}
    return f"{', '.join(sorted(others))} adds the same word; remove one of them" if others else ""


def _objection(family: Any) -> str:
    """Why an object is no family."""
    if not (isinstance(family, type) and issubclass(family, Shape)):
        return f"{family!r} is no subclass of shapes.shape.Shape"
    if inspect.isabstract(family):
        missing = ", ".join(sorted(family.__abstractmethods__))
        return f"{family.__name__} leaves out {missing}"
    settings = getattr(family, "__dataclass_params__", None)
    if settings is None or not settings.frozen:
        return f"{family.__name__} is no frozen dataclass"
    try:
        kinds = {field.name: parameter.kind for field, parameter in parameters_of(family)}
    except (AttributeError, ValueError, TypeError, NameError):
        return f"not every field of {family.__name__} is annotated with one Parameter"
    strange = [f"{name} ({kind})" for name, kind in kinds.items() if kind not in _KINDS]
    if strange:
        return f"a design file has no value for {', '.join(strange)}"
    if "file" in kinds.values():
        return ""  # there is no typical body of a file
    try:
        family.typical()
    except Exception as error:
        return f"its defaults make no body: {type(error).__name__}: {error}"
    return ""
