"""A group's files: a body that the kernel cannot mesh is told of by its name."""

import cadquery as cq
import pytest

import shapes.facets
from pipeline.body_files import BodyGroup, write_group
from pipeline.errors import ToolingError
from pipeline.step import Body
from shapes.errors import SolidError


def test_a_body_that_cannot_be_meshed_is_named_and_no_file_is_written(tmp_path, monkeypatch):
    def refuse(*_args: object) -> None:
        raise SolidError("the kernel's mesh of a solid does not close")

    monkeypatch.setattr(shapes.facets, "facets_of", refuse)
    body = Body("mould, half 1", "#B5482A", cq.Solid.makeBox(10, 10, 10))
    group = BodyGroup("moulds/dunlin", "Dunlin", "a mould", (body,))
    with pytest.raises(ToolingError, match=r"'mould, half 1': .*does not close, .*shrinkage"):
        write_group(group, tmp_path, "1970-01-01T00:00:00")
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []
