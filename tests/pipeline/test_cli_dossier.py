"""The dossier command: its words, its files, its exit status; verify of a page."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from pipeline.dossier.reading import read_page
from tests.pipeline.dossier.told_balls import LEANING
from tests.pipeline.sphere_balls import swapped
from tests.pipeline.test_cli import corewright

LONG = swapped(  # with a total differential beyond the limit
    LEANING, ("[3.2, 4.2, 4.9]", "[2.8, 2.9, 6.9]"), ("density: 2.3", "density: 3.7")
)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a design, its dossier in both forms, and what was printed of its data."""
    folder = tmp_path_factory.mktemp("dossier")
    (folder / "d.yaml").write_text(LEANING, encoding="utf-8")
    done = corewright("dossier", folder / "d.yaml", "--out", folder / "d.html", "--json")
    assert done.returncode == 0, done.stderr
    (folder / "printed.json").write_text(done.stdout, encoding="utf-8")
    return folder


def test_page_and_pdf_are_written(made: Path) -> None:
    assert (made / "d.html").read_bytes().startswith(b"<!doctype html>")
    assert (made / "d.pdf").read_bytes().startswith(b"%PDF-1.7")


def test_json_is_what_the_page_holds(made: Path) -> None:
    assert json.loads((made / "printed.json").read_text()) == read_page(made / "d.html").data


def test_the_same_design_elsewhere_gives_the_same_bytes(made: Path, tmp_path: Path) -> None:
    (tmp_path / "other.yaml").write_text(LEANING, encoding="utf-8")
    corewright("dossier", tmp_path / "other.yaml", "--out", tmp_path / "o.html")
    for ending in ("html", "pdf"):
        assert (tmp_path / f"o.{ending}").read_bytes() == (made / f"d.{ending}").read_bytes()


def test_a_page_that_nobody_touched_verifies(made: Path) -> None:
    done = corewright("verify", made / "d.html", "--json")
    assert done.returncode == 0
    told = json.loads(done.stdout)
    assert (told["passed"], told["page"]) == (True, str(made / "d.html"))


def test_a_page_with_another_figure_does_not(made: Path, tmp_path: Path) -> None:
    low = read_page(made / "d.html").data["figures"]["rg_in"]["low"]
    raw = (made / "d.html").read_bytes().replace(f'"low":{low}'.encode(), b'"low":2.5', 1)
    (tmp_path / "d.html").write_bytes(raw)
    done = corewright("verify", tmp_path / "d.html")
    assert done.returncode == 1
    assert f"figures.rg_in.low: 2.5 is told where {low} is found" in done.stdout


def test_a_broken_limit_is_told_and_ends_with_one(made: Path, tmp_path: Path) -> None:
    (tmp_path / "d.yaml").write_text(LONG, encoding="utf-8")
    done = corewright(
        "dossier", tmp_path / "d.yaml", "--out", tmp_path / "d.html", "--since", made / "d.html",
        "--paper", "letter",
    )  # fmt: skip
    assert done.returncode == 1
    assert re.search(r"✗ total differential: 0\.\d+ in \(at most 0\.06 in\), fail", done.stdout)
    assert "changes since the earlier dossier" in done.stdout
    assert (tmp_path / "d.pdf").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--out", "x.txt"), "--out: read 'x.txt'; give a name that ends in .html"),
        (("--out", "x.html", "--pdf", "x.html"), "--pdf: read 'x.html'; give a name that ends"),
        (("--out", "x.html", "--paper", "a5"), "--paper: read 'a5'; allowed: a4, letter"),
        (("--out", "none/x.html"), "there is no folder"),
        (("--out", "x.html", "--since", "none.html"), "--since: none.html cannot be read"),
        (("--out", "x.html", "--since", "d.yaml"), "--since: d.yaml is no page of a dossier"),
    ],
)
def test_what_cannot_be_is_refused_before_anything_is_written(
    words: tuple[str, ...], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "d.yaml").write_text(LEANING, encoding="utf-8")
    (tmp_path / "x.html").write_text("as it was", encoding="utf-8")
    done = corewright("dossier", "d.yaml", *words)
    assert done.returncode == 2
    assert said in done.stderr
    assert (tmp_path / "x.html").read_text(encoding="utf-8") == "as it was"
    assert {path.name for path in tmp_path.iterdir()} == {"d.yaml", "x.html"}


def test_a_pdf_is_no_page_to_verify(made: Path) -> None:
    done = corewright("verify", made / "d.pdf")
    assert done.returncode == 2
    assert "d.pdf is no page of a dossier" in done.stderr


def test_help_answers_without_the_kernel_or_the_renderer() -> None:
    done = corewright("dossier", "--help")
    assert done.returncode == 0
    assert "--since" in done.stdout
