"""The generated schema and reference say what the reader does."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

from pipeline.dossier.schema import dossier_schema
from pipeline.reference import (
    design_reference,
    drilling_schema,
    json_schema,
    limits_reference,
)
from pipeline.shipped import DRILLINGS, NAMES, shipped
from pipeline.starter import starter

DOCS = Path(__file__).parents[2] / "docs"


def as_editor_reads(text: str) -> object:
    """What a YAML editor hands to the schema: numbers as numbers, dates as text."""
    yaml = YAML(typ="safe", pure=True)
    yaml.constructor.add_constructor("tag:yaml.org,2002:timestamp", lambda _, node: str(node.value))
    return yaml.load(text)


def errors(text: str) -> list[str]:
    return [
        e.message for e in Draft202012Validator(json_schema()).iter_errors(as_editor_reads(text))
    ]


def test_it_is_a_schema() -> None:
    Draft202012Validator.check_schema(json_schema())


@pytest.mark.parametrize("name", NAMES)
def test_shipped_designs_pass(name: str) -> None:
    assert errors(shipped(name).read_text(encoding="utf-8")) == []


def test_the_starter_passes() -> None:
    assert errors(starter("Plover", "plover.yaml")) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("diameter: 7.05", "diamter: 7.05"),
        ("diameter: 7.05", "diameter: -1"),
        ("weight: 15 lb", "weight: 15"),
        ("weight: 15 lb", "weight: 15 in"),
        ("shape: turned", "shape: turnd"),
        ("density: 2.3", "density: 4.1"),
        ("corewright 1", "corewright 2"),
        ("- The domed head lets the core leave its mould.", f"- {'x' * 401}"),
        ("- The domed head lets the core leave its mould.", '- "a\\nb"'),
        ("The foot is the widest part of the core and stands farthest from the pin.", "[3]"),
    ],
)
def test_what_the_reader_refuses_the_schema_marks(old: str, new: str) -> None:
    text = shipped("dunlin").read_text(encoding="utf-8")
    assert errors(text.replace(old, new)) != []


@pytest.mark.parametrize("name", DRILLINGS)
def test_a_shipped_drilling_is_sound_by_the_schema_of_drillings(name: str) -> None:
    text = shipped(name).read_text(encoding="utf-8")
    validator = Draft202012Validator(drilling_schema())
    assert list(validator.iter_errors(as_editor_reads(text))) == []


def test_the_committed_pages_are_those_of_the_code() -> None:
    committed = json.loads((DOCS / "design.schema.json").read_text(encoding="utf-8"))
    assert committed == json_schema()
    committed = json.loads((DOCS / "drilling.schema.json").read_text(encoding="utf-8"))
    assert committed == drilling_schema()
    assert (DOCS / "design-file.md").read_text(encoding="utf-8") == design_reference()
    assert (DOCS / "limits.md").read_text(encoding="utf-8") == limits_reference()


def test_the_committed_schema_of_dossiers_is_that_of_the_code() -> None:
    committed = json.loads((DOCS / "dossier.schema.json").read_text(encoding="utf-8"))
    assert committed == dossier_schema()
