"""A page that came back: what holds is told to hold, and what somebody changed is found."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pipeline.dossier import verify_page as module
from pipeline.dossier.document import Picture
from pipeline.dossier.page import page_of
from pipeline.dossier.reading import NoDossier
from pipeline.dossier.verify_page import verify_page
from pipeline.verify import Seen
from tests.pipeline.dossier.told_balls import data, space

Change = Callable[[dict[str, Any]], None]
WEBP = b"RIFF of no picture"


@cache
def page(name: str = "leaning") -> bytes:
    """A page as it is written, with files that stand for its pictures."""
    return made(name, lambda _: None)


def made(name: str, change: Change) -> bytes:
    """A page as it is written from data that were changed."""
    told = data(name)
    for row in told["pictures"]:
        row["sha256"] = hashlib.sha256(WEBP).hexdigest()
    pictures = {row["key"]: Picture(row["key"], b"", WEBP, 12, 8) for row in told["pictures"]}
    change(told)
    return page_of(told, space(name), pictures)


def wrong(raw: bytes, folder: Path) -> dict[str, str]:
    """What does not hold, with its note."""
    file = folder / "page.html"
    file.write_bytes(raw)
    return {seen.what: seen.note for seen in verify_page(file) if not seen.passed}


@pytest.mark.parametrize("name", ["leaning", "gripped", "crossed"])
def test_a_page_that_nobody_touched_holds_to_the_byte(name: str, tmp_path: Path) -> None:
    (tmp_path / "page.html").write_bytes(page(name))
    seen = verify_page(tmp_path / "page.html")
    assert all(one.passed for one in seen)
    assert Seen("the page itself", True, "it is written anew to the same bytes") in seen


def set_low(told: dict[str, Any]) -> None:
    told["figures"]["rg_in"]["low"] += 0.01


def set_verdict(told: dict[str, Any]) -> None:
    told["findings"][2]["verdict"] = "fail"


def set_density(told: dict[str, Any]) -> None:
    told["figures"]["parts"][0]["density_g_cm3"] = 2.31


def drop_rule(told: dict[str, Any]) -> None:
    del told["findings"][3]


def add_figure(told: dict[str, Any]) -> None:
    told["figures"]["low_rg_certified_in"] = 2.5


def set_angle(told: dict[str, Any]) -> None:
    told["axes"][0]["azimuth_deg"] = None


@pytest.mark.parametrize(
    ("change", "where", "note"),
    [
        (set_low, "figures.rg_in.low", "is told where"),
        (set_verdict, "findings[2].verdict", "fail is told where pass is found"),
        (set_density, "figures.parts[0].density_g_cm3", "2.31 is told where 2.3 is found"),
        (drop_rule, "findings", "entries are told where"),
        (add_figure, "figures.low_rg_certified_in", "does not follow from the design"),
        (set_angle, "axes[0].azimuth_deg", "undefined is told where"),
    ],
)
def test_a_figure_that_was_changed_in_the_data_is_named(
    change: Change, where: str, note: str, tmp_path: Path
) -> None:
    assert note in wrong(made("leaning", change), tmp_path)[where]


def test_a_word_that_was_changed_on_the_page_alone_is_found(tmp_path: Path) -> None:
    low = data("leaning")["figures"]["rg_in"]["low"]
    raw = page().replace(f">{low}<".encode(), b">2.6<")
    assert raw != page()
    found = wrong(raw, tmp_path)
    assert f"it reads '2.6' where '{low}' is due" in found["words of section 'mass'"]
    assert not any(name.startswith("figures") for name in found)


def test_a_sentence_that_was_added_is_found(tmp_path: Path) -> None:
    raw = page().replace(b"</header>", b"<p>Certified.</p></header>")
    assert "Certified." in wrong(raw, tmp_path)["words of section ''"]


def test_a_script_that_was_changed_is_found(tmp_path: Path) -> None:
    raw = page().replace(b"</body>", b"<script>/* more */</script></body>")
    assert "its bytes are not those that we write" in wrong(raw, tmp_path)["the page itself"]


def test_a_picture_that_was_swapped_is_found(tmp_path: Path) -> None:
    raw = page().replace(base64.b64encode(WEBP), base64.b64encode(b"RIFF of another"), 1)
    found = wrong(raw, tmp_path)
    assert found["picture: view-0"] == "it has not the hash that is told"


def test_another_design_under_the_figures_is_found(tmp_path: Path) -> None:
    def change(told: dict[str, Any]) -> None:
        told["design"]["source"] = told["design"]["source"].replace("density: 2.3", "density: 2.4")

    found = wrong(made("leaning", change), tmp_path)
    assert found["design: design.yaml"] == "it has not the hash that is told"
    assert "figures.rg_in.low" in found


def test_a_ball_in_space_that_was_swapped_is_found(tmp_path: Path) -> None:
    raw = page().replace(b'"mass_g":', b'"mass_g":1', 1)
    assert "in space: mass_g" in wrong(raw, tmp_path)


def test_a_design_that_makes_no_ball_is_told(tmp_path: Path) -> None:
    def change(told: dict[str, Any]) -> None:
        told["design"]["source"] = "format: corewright 1\nname: 3 in\n"

    assert "cannot be worked out" in wrong(made("leaning", change), tmp_path)["figures"]


def test_a_page_of_other_versions_is_held_by_its_data_alone(tmp_path: Path) -> None:
    raw = page().replace(b'"numpy":"', b'"numpy":"0.', 1)
    (tmp_path / "page.html").write_bytes(raw)
    seen = verify_page(tmp_path / "page.html")
    assert all(one.passed for one in seen)
    assert "not compared" in seen[-1].note


def test_changes_since_an_earlier_one_are_worked_out_again(tmp_path: Path) -> None:
    from pipeline.dossier.changed import changed, earlier_of

    earlier = earlier_of(data("spheres"))

    def change(told: dict[str, Any]) -> None:
        rows, shown = told.pop("pictures"), changed(earlier, told)
        told |= {"changed": shown, "pictures": rows}

    assert wrong(made("leaning", change), tmp_path) == {}

    def more(told: dict[str, Any]) -> None:
        change(told)
        told["changed"]["rows"][0]["after"] = "another"

    assert "changed.rows[0].after" in wrong(made("leaning", more), tmp_path)


def pictures_missing(told: dict[str, Any]) -> None:
    del told["pictures"]


def file_outside(told: dict[str, Any]) -> None:
    told["design"]["files"] = [{"name": "../x.yaml", "sha256": "0", "base64": ""}]


def file_with_nul(told: dict[str, Any]) -> None:
    told["design"]["files"] = [{"name": "a\0b", "sha256": "0", "base64": ""}]


def file_under_the_design(told: dict[str, Any]) -> None:
    told["design"]["files"] = [{"name": "design.yaml/x", "sha256": "0", "base64": ""}]


def file_broken(told: dict[str, Any]) -> None:
    told["design"]["files"] = [{"name": "x", "sha256": "0", "base64": "\u00e9"}]


def rows_of_numbers(told: dict[str, Any]) -> None:
    told["pictures"] = [1]


def no_design(told: dict[str, Any]) -> None:
    told["design"] = 5


@pytest.mark.parametrize(
    "change",
    [
        pictures_missing, file_outside, file_with_nul, file_under_the_design, file_broken,
        rows_of_numbers, no_design,
    ],
)  # fmt: skip
def test_data_of_another_kind_are_refused_with_the_file(change: Change, tmp_path: Path) -> None:
    told = data("leaning")
    change(told)
    head, tail = page().split(b'id="dossier">', 1)
    rest = tail.split(b"</script>", 1)[1]
    written = json.dumps(told).replace("<", "\\u003c").encode()
    file = tmp_path / "page.html"
    file.write_bytes(head + b'id="dossier">' + written + b"</script>" + rest)
    with pytest.raises(NoDossier, match=r"page\.html"):
        verify_page(file)


def test_nothing_is_written_outside_a_folder_that_goes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module.tempfile, "tempdir", str(tmp_path / "temp"))
    (tmp_path / "temp").mkdir()
    assert wrong(page("gripped"), tmp_path) == {}
    assert list((tmp_path / "temp").iterdir()) == []
