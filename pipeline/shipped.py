"""The designs that come with the package."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

NAMES = ("dunlin", "godwit", "turnstone")
DRILLINGS = ("dunlin-drilled", "turnstone-drilled")  # files that drill two of them

STORYBOARDS = ("dunlin-storyboard",)  # and one that films one of them


def shipped(name: str) -> Path:
    """Path of a shipped design, drilling or storyboard by its name, in lower case.

    >>> shipped("dunlin").name
    'dunlin.yaml'
    """
    return Path(str(files("shapes").joinpath("designs", f"{name}.yaml")))
