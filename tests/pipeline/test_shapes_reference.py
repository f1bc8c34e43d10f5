"""The page of all families for the docs."""

from __future__ import annotations

import re
from pathlib import Path

from pipeline.effects import has_trial
from pipeline.shapes_reference import shapes_reference
from shapes.registry import FAMILIES

ROOT = Path(__file__).parents[2]


def test_the_committed_page_is_that_of_the_code_and_has_its_pictures() -> None:
    """Once, since it weighs every family several times."""
    made = shapes_reference()
    assert (ROOT / "docs" / "shapes.md").read_text(encoding="utf-8") == made
    asked = set(re.findall(r"renders/shapes/(\w+)\.png", made))
    assert asked == {path.stem for path in (ROOT / "renders" / "shapes").glob("*.png")}
    assert asked == {word for word in FAMILIES if has_trial(word)}
