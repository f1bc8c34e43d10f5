"""Where a design that was found may be written."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pipeline.design_out import check_design_file, check_place
from pipeline.errors import OutputError
from pipeline.load import load
from pipeline.shipped import shipped
from shapes.attachment import Attachment

DUNLIN = load(shipped("dunlin"))
WITH_FILE = replace(DUNLIN, attachments=(Attachment("cad/core.step", b"solid"),))


def test_files_that_a_design_refers_to_must_lie_beside_it(tmp_path: Path) -> None:
    out = tmp_path / "found.yaml"
    check_place(DUNLIN, out)
    with pytest.raises(OutputError, match=r"refers to cad/core\.step, which must lie beside"):
        check_place(WITH_FILE, out)
    (tmp_path / "cad").mkdir()
    (tmp_path / "cad" / "core.step").write_bytes(b"another")
    with pytest.raises(OutputError, match="must lie beside"):
        check_place(WITH_FILE, out)
    (tmp_path / "cad" / "core.step").write_bytes(b"solid")
    check_place(WITH_FILE, out)


def test_only_an_earlier_design_of_that_ball_is_written_over(tmp_path: Path) -> None:
    source, out = tmp_path / "core.yaml", tmp_path / "found.yaml"
    source.write_bytes(DUNLIN.source)
    check_design_file(source, out)
    out.write_bytes(DUNLIN.source)
    check_design_file(source, out)
    for taken in (shipped("godwit").read_bytes(), b"notes"):
        out.write_bytes(taken)
        with pytest.raises(OutputError, match="is no design of that ball"):
            check_design_file(source, out)
    with pytest.raises(OutputError, match="is the design itself"):
        check_design_file(source, source)
