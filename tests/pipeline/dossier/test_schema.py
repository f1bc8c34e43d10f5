"""The schema takes the data of dossiers as they are made, and refuses what is not as it says."""

from __future__ import annotations

import copy
import hashlib
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from pipeline.ball import Ball, build_ball
from pipeline.dossier.changed import earlier_of
from pipeline.dossier.contents import contents
from pipeline.dossier.document import Picture
from pipeline.dossier.page import page_of
from pipeline.dossier.schema import dossier_schema
from pipeline.dossier.section_list import document_of
from pipeline.load import load, read_design
from pipeline.shipped import shipped
from pipeline.units import MM_PER_IN
from pipeline.weigh import weigh
from tests.pipeline import cut_balls
from tests.pipeline.uniform_text import UNIFORM

Path_ = tuple[str | int, ...]
Data = dict[str, Any]
DOCS = Path(__file__).parents[3] / "docs"
WEBP = b"what a picture's file holds is no matter here"
NAMED = ("versions", "routes", "densities", "facts", "told", "layout_in")  # maps by name
MAY_LACK = (  # what a ball may not have, beside the keys that stand in maps by name
    ("line",),
    ("tooling",),
    ("changed",),
    ("figures", "design", "files"),
    *(("figures", "drilling", "holes", k, "insert") for k in range(2)),  # of the fingers
    *(("axes", k, "to_axis_point_deg") for k in range(3)),
)


def row(key: str, place: str) -> Data:
    told = {"key": key, "place": place, "caption": "The ball", "alt": "A ball of three parts."}
    size = {"width_px": 1280, "height_px": 860}
    return {**told, **size, "sha256": hashlib.sha256(WEBP).hexdigest()}


def as_embedded(ball: Ball, since: Data | None = None) -> Data:
    """The data as they lie in a page, with pictures that were not drawn."""
    data = contents(ball, None if since is None else earlier_of(since)).data
    data["pictures"] = [
        row("cutaway", "space"), row("bored", "drilled"), row("draft-1", "tooling")
    ]  # fmt: skip
    found: Data = json.loads(json.dumps(data, allow_nan=False))
    return found


@pytest.fixture(scope="module")
def dunlin() -> Data:
    return as_embedded(build_ball(load(shipped("dunlin"))))


@pytest.fixture(scope="module")
def turnstone() -> Data:
    return as_embedded(build_ball(load(shipped("turnstone"))))


@pytest.fixture(scope="module")
def turnstone_drilled(turnstone: Data) -> Data:
    return as_embedded(build_ball(load(shipped("turnstone-drilled"))), turnstone)


@pytest.fixture(scope="module")
def dunlin_drilled(turnstone: Data, tmp_path_factory: pytest.TempPathFactory) -> Data:
    """With inserts; told how it is cast once is enough, so that is left out here."""
    home = tmp_path_factory.mktemp("dunlin")
    for name in ("dunlin", "dunlin-drilled"):
        text = shipped(name).read_text(encoding="utf-8").partition("\nprocess:")[0]
        (home / f"{name}.yaml").write_text(text, encoding="utf-8")
    return as_embedded(build_ball(load(home / "dunlin-drilled.yaml")), turnstone)


@pytest.fixture(scope="module")
def whole(dunlin: Data, dunlin_drilled: Data) -> Data:
    """With every key that there can be, long lists cut to what stands for all of them."""
    found = copy.deepcopy({**dunlin_drilled, "tooling": dunlin["tooling"]})
    for _, value in places(found):
        if isinstance(value, list) and len(value) > 3:
            del value[1:]
    return found


@cache
def validator() -> Draft202012Validator:
    return Draft202012Validator(dossier_schema())


def faults(data: Data) -> list[str]:
    return [f"{list(e.absolute_path)}: {e.message}" for e in validator().iter_errors(data)]


def places(value: Any, path: Path_ = ()) -> Iterator[tuple[Path_, Any]]:
    """Every value of some data with its way there, outermost first; of lists the first three."""
    yield path, value
    inside = value.items() if isinstance(value, dict) else ()
    inside = enumerate(value[:3]) if isinstance(value, list) else inside
    for key, one in inside:
        yield from places(one, (*path, key))


def at(data: Any, path: Path_) -> Any:
    for key in path:
        data = data[key]
    return data


def records(data: Data) -> list[tuple[Path_, Data]]:
    """All that has fixed keys."""
    return [(p, v) for p, v in places(data) if isinstance(v, dict) and not is_by_name(p)]


def is_by_name(path: Path_) -> bool:
    """Whether the keys there are names of the design's own, or of what there is of something."""
    return path[-1:] in {(name,) for name in NAMED} or path[-3:] == ("figures", "design", "files")


def taken(data: Data, path: Path_, value: Any) -> bool:
    """Whether the schema takes data with one value changed, which are left as they were."""
    if not path:
        return validator().is_valid(value)
    *way, key = path
    holder = at(data, tuple(way))
    before = holder[key]
    holder[key] = value
    try:
        return validator().is_valid(data)
    finally:
        holder[key] = before


def test_it_is_a_schema() -> None:
    assert Draft202012Validator.check_schema(dossier_schema()) is None


def test_every_key_says_what_it_is() -> None:
    keys = [
        (path, one)
        for path, one in places(dossier_schema())
        if len(path) > 1 and path[-2] == "properties" and one is not False
    ]
    assert [path for path, one in keys if not one.get("description")] == []


def test_every_name_that_is_shared_is_there_and_used() -> None:
    text = json.dumps(dossier_schema())
    assert set(re.findall(r'"#/\$defs/(\w+)"', text)) == set(dossier_schema()["$defs"])


@pytest.mark.parametrize("name", ["dunlin", "turnstone", "turnstone_drilled", "dunlin_drilled"])
def test_the_data_of_a_shipped_design_pass(name: str, request: pytest.FixtureRequest) -> None:
    assert faults(request.getfixturevalue(name)) == []


def test_the_data_of_a_ball_without_axes_pass() -> None:
    assert faults(as_embedded(build_ball(read_design(UNIFORM)))) == []


def test_the_data_of_a_ball_that_only_solids_can_weigh_pass() -> None:
    assert faults(as_embedded(cut_balls.ball(*cut_balls.POKES))) == []


def test_what_is_new_what_is_gone_and_what_changed_pass(turnstone_drilled: Data) -> None:
    back = as_embedded(build_ball(load(shipped("turnstone"))), turnstone_drilled)
    states = {r["state"] for data in (back, turnstone_drilled) for r in data["changed"]["rows"]}
    assert (faults(back), states) == ([], {"changed", "gone", "new"})


def test_no_key_may_be_missing_but_what_a_ball_may_lack(whole: Data) -> None:
    missed = [
        (*path, key)
        for path, value in records(whole)
        for key in value
        if taken(whole, path, {k: v for k, v in value.items() if k != key})
    ]
    assert set(missed) == set(MAY_LACK)


def test_no_key_may_be_one_too_many(whole: Data) -> None:
    found = [(path, {**value, "more": "x"}) for path, value in records(whole)]
    assert [path for path, value in found if taken(whole, path, value)] == []


def test_no_value_may_be_of_another_type(whole: Data) -> None:
    leaves = [(p, v) for p, v in places(whole) if p and not isinstance(v, dict | list)]
    assert [path for path, _ in leaves if taken(whole, path, [[]])] == []


def test_a_number_is_no_text_and_a_text_no_number(whole: Data) -> None:
    leaves = [
        (path, value)
        for path, value in places(whole)
        if path[:1] != ("changed",) and not isinstance(value, dict | list | None)
    ]
    swapped = [(p, 0.5 if isinstance(v, str) else str(v)) for p, v in leaves]
    assert [path for path, value in swapped if taken(whole, path, value)] == []


def test_a_list_is_no_text(whole: Data) -> None:
    lists = [path for path, value in places(whole) if isinstance(value, list)]
    assert [path for path in lists if taken(whole, path, "x")] == []


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("format",), "corewright dossier 2"),
        (("note",), "certified"),
        (("limits_as_of",), "25 November 2026"),
        (("design", "sha256"), "5eb2"),
        (("design", "parts", 0, "role"), "core"),
        (("design", "parts", 0, "colour"), "clay"),
        (("design", "parts", 0, "density"), "free"),
        (("versions",), {"numpy": "2.4.6"}),
        (("figures", "mass_lb"), 0.0),
        (("figures", "symmetry"), "lopsided"),
        (("figures", "axes", "low"), [0.0, 1.0]),
        (("figures", "axes", "low"), [0.0, 0.0, 1.5]),
        (("figures", "inertia_lb_in2"), [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]),
        (("figures", "routes"), {"guess": {}}),
        (("figures", "routes"), {}),
        (("figures", "drilling", "hand"), "both"),
        (("figures", "drilling", "holes", 0, "use"), "ring"),
        (("figures", "drilling", "holes", 0, "bottom"), "round"),
        (("axes", 0, "axis"), "lowest"),
        (("axes", 0, "to_pin_deg"), 91.0),
        (("axes",), []),
        (("mesh", "triangles"), 0.5),
        (("findings", 0, "verdict"), "passed"),
        (("findings", 0, "confidence"), "X"),
        (("line", "weights", 0, "met"), 1),
        (("line", "weights", 0, "densities"), {"clay": 0.0}),
        (("tooling", "findings", 0, "size"), "as drawn"),
        (("changed", "rows", 0, "kind"), "rule"),
        (("changed", "rows", 0, "state"), "same"),
        (("pictures", 0, "place"), "front"),
        (("pictures", 0, "key"), "Cut away"),
        (("pictures", 0, "width_px"), 0),
    ],
)
def test_it_refuses(whole: Data, path: Path_, value: object) -> None:
    assert not taken(whole, path, value)


@pytest.mark.parametrize("key", ["drilling", "undrilled"])
def test_the_ball_before_drilling_has_no_drilling(whole: Data, key: str) -> None:
    before = whole["figures"]["undrilled"]
    again = {**before, "drilling": whole["figures"]["drilling"], "undrilled": before}
    given = {k: v for k, v in again.items() if k == key or k in before}
    assert not taken(whole, ("figures", "undrilled"), given)


def test_figures_of_a_line_are_all_there_or_none(whole: Data) -> None:
    path = ("line", "weights", 0, "figures")
    few = {"low_rg_in": 2.5}
    assert (taken(whole, path, {}), taken(whole, path, few)) == (True, False)


def page(data: Data) -> bytes:
    """A page of a dossier whose pictures are empty and whose ball is not there."""
    files = {one["key"]: Picture(one["key"], b"", WEBP, 4, 3) for one in data["pictures"]}
    return page_of(data, {}, files)


def test_the_documented_script_reads_the_low_rg_by_the_standard_library_alone(
    dunlin: Data, tmp_path: Path
) -> None:
    text = (DOCS / "dossier.md").read_text(encoding="utf-8")
    (script,) = re.findall(r"```python\n(.*?)```", text, re.DOTALL)
    (tmp_path / "dunlin.html").write_bytes(page(dunlin))
    # -S leaves out all that is installed, -I whatever lies about
    run = subprocess.run(
        [sys.executable, "-I", "-S", "-c", script],
        cwd=tmp_path, capture_output=True, text=True, check=False,
    )  # fmt: skip
    rg_mm = weigh(build_ball(load(shipped("dunlin")))).principal.rg_mm
    assert (run.stdout, run.stderr) == (f"{rg_mm[0] / MM_PER_IN:.8f} in\n", "")


def test_the_page_of_documentation_tells_of_every_section(whole: Data) -> None:
    text = (DOCS / "dossier.md").read_text(encoding="utf-8")
    rows = [line.split("|")[1].strip() for line in text.splitlines() if line.startswith("| ")]
    titles = [section.title for section in document_of(whole).sections]
    assert [name for name in rows if name in titles] == titles
