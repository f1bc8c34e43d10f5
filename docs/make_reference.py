"""Write the pages that are made from the code: run it after a change to fields or limits."""

from __future__ import annotations

import json
from pathlib import Path

from pipeline.dossier.schema import dossier_schema
from pipeline.pictures_reference import pictures_page, storyboard_schema
from pipeline.reference import (
    design_reference,
    drilling_schema,
    json_schema,
    limits_reference,
)
from pipeline.shapes_reference import shapes_reference

if __name__ == "__main__":
    here = Path(__file__).parent
    for name, text in (
        ("design-file", design_reference()),
        ("shapes", shapes_reference()),
        ("limits", limits_reference()),
        ("pictures", pictures_page((here / "text" / "pictures.md").read_text(encoding="utf-8"))),
    ):
        (here / f"{name}.md").write_text(text, encoding="utf-8", newline="\n")
    for name, schema in (
        ("design", json_schema()),
        ("drilling", drilling_schema()),
        ("storyboard", storyboard_schema()),
        ("dossier", dossier_schema()),
    ):
        text = json.dumps(schema, indent=1, ensure_ascii=False) + "\n"
        (here / f"{name}.schema.json").write_text(text, encoding="utf-8", newline="\n")
