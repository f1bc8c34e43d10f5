"""YAML without surprises."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.document import MAX_BYTES, Entries, Scalar, parse, read_bytes
from pipeline.errors import DesignError


def test_scalars_stay_text_with_their_line() -> None:
    tree = parse("a: 017\nb: 12:30\nc: 1e-3\nd: yes\n", "x")
    assert isinstance(tree, Entries)
    assert [s.text for s in tree.entries.values() if isinstance(s, Scalar)] == [
        "017", "12:30", "1e-3", "yes",
    ]  # fmt: skip
    assert tree.entries["c"].line == 3


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "empty"),
        ("# only a comment\n", "empty"),
        ("a: [1", "not YAML"),
        ("\ta: 1", "not YAML"),
        ("a: 1\na: 2", "x:2: 'a' stands here again .first in line 1"),
        ("a: &x 1\nb: *x", "anchor"),
        ('a: "\\uD800"', "half of a character"),
        ("a: &a [l,l]\nb: &b [*a,*a]\nc: [*b,*b]", "anchor"),
        ("a: !!python/object:os.system x", "tag"),
        ("a: 1\n---\nb: 2", "second document"),
        ("? [1, 2]\n: 3", "no word"),
        ("a: " + "[" * 30 + "]" * 30, "levels"),
        ("[" * 5000, "not YAML"),
        ("a: \x07", "not YAML"),
    ],
)
def test_refused(text: str, says: str) -> None:
    with pytest.raises(DesignError, match=says):
        parse(text, "x")


def test_a_large_file_is_not_even_parsed(tmp_path: Path) -> None:
    big = tmp_path / "big.yaml"
    big.write_bytes(b"# " + b"x" * (10 * MAX_BYTES))
    with pytest.raises(DesignError, match="larger than 1000 kB"):
        read_bytes(big)


def test_a_folder_and_a_missing_file_are_told_apart(tmp_path: Path) -> None:
    with pytest.raises(DesignError, match="folder"):
        read_bytes(tmp_path)
    with pytest.raises(DesignError, match="no such file"):
        read_bytes(tmp_path / "none.yaml")
