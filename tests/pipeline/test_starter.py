"""The starter weighs and makes as it stands."""

from __future__ import annotations

import pytest

from pipeline.ball import build_ball
from pipeline.check import check, failed
from pipeline.errors import OutputError
from pipeline.load import read_design
from pipeline.shipped import shipped
from pipeline.starter import starter
from pipeline.weigh import weigh


@pytest.mark.parametrize(
    "name", ["Plover", "Red Knot", "Brachvögel", "3", "a: b # c", 'say "x"', "yes"]
)
def test_it_weighs_under_any_name(name: str) -> None:
    design = read_design(starter(name, "x.yaml"))
    ball = build_ball(design)
    assert design.name == name
    assert not failed(check(ball, weigh(ball)))


def test_a_shipped_name_gives_that_design() -> None:
    assert starter("Godwit", "x.yaml") == shipped("godwit").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["", "  ", "a\nb", "x" * 81])
def test_no_name_is_refused(name: str) -> None:
    with pytest.raises(OutputError, match="is no name for a ball"):
        starter(name, "x.yaml")
