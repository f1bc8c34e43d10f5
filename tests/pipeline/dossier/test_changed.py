"""What changed since an earlier dossier, on data that are changed by hand."""

from __future__ import annotations

import json
from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest

from pipeline.dossier.changed import Earlier, changed, earlier_of
from tests.pipeline.dossier.told_balls import Data, data

FIGURES = (  # where a figure that a reviewer compares stands in the data
    ("figures", "mass_lb"),
    ("figures", "rg_in", "low"),
    ("figures", "rg_in", "intermediate"),
    ("figures", "rg_in", "high"),
    ("figures", "total_differential_in"),
    ("figures", "intermediate_differential_in"),
    ("figures", "about_ball_centre", "rg_in", "low"),
    ("figures", "about_ball_centre", "rg_in", "high"),
    ("figures", "about_ball_centre", "total_differential_in"),
    ("figures", "about_ball_centre", "intermediate_differential_in"),
    ("figures", "top_weight_oz"),
    ("figures", "parts", 0, "density_g_cm3"),
    ("figures", "parts", 1, "volume_in3"),
    ("figures", "parts", 1, "mass_lb"),
    ("axes", 0, "azimuth_deg"),
    ("axes", 1, "from_z_deg"),
    ("axes", 2, "to_pin_deg"),
    ("axes", 0, "to_grip_centre_deg"),
)


@pytest.fixture
def told() -> Data:
    return data("gripped")


def put(told: Data, path: tuple[str | int, ...], value: object) -> Data:
    """The data with another value at a place."""
    new = deepcopy(told)
    at: Any = new
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    return new


def at(told: Data, path: tuple[str | int, ...]) -> Any:
    found: Any = told
    for step in path:
        found = found[step]
    return found


def since(before: Data, after: Data) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = changed(earlier_of(before), after)["rows"]
    return rows


def test_nothing_changed_since_the_same_dossier(told: Data) -> None:
    assert since(told, deepcopy(told)) == []


def test_a_dossier_that_was_written_and_read_again_is_the_same(told: Data) -> None:
    assert since(json.loads(json.dumps(told)), told) == []


@pytest.mark.parametrize("path", FIGURES, ids=lambda path: ".".join(map(str, path)))
def test_a_figure_that_alone_changed_is_told_before_and_after(
    path: tuple[str | int, ...], told: Data
) -> None:
    value = at(told, path)
    rows = since(told, put(told, path, value + 0.125))
    states = [(row["kind"], row["state"], row["before"], row["after"]) for row in rows]
    assert states == [("figure", "changed", value, value + 0.125)]


@pytest.mark.parametrize("verdict", ["fail", "not determined"])
@pytest.mark.parametrize("rule", ["low RG", "static imbalance", "side weight"])
def test_a_verdict_that_changed_is_told_by_its_rule(verdict: str, rule: str, told: Data) -> None:
    k = next(k for k, row in enumerate(told["findings"]) if row["rule"] == rule)
    (row,) = since(told, put(told, ("findings", k, "verdict"), verdict))
    assert (row["before"], row["after"], row["state"]) == ("pass", verdict, "changed")
    assert rule in row["what"]


def test_a_check_of_a_casting_that_changed_is_told_with_its_casting() -> None:
    before = data("cast")
    row = before["tooling"]["findings"][0]
    (found,) = since(before, put(before, ("tooling", "findings", 0, "verdict"), "none at all"))
    assert found["what"] == f"{row['casting']}: {row['rule']}: verdict"


def test_every_rule_and_every_check_has_a_name_of_its_own() -> None:
    """Two of one name would hide one another."""
    for name in ("gripped", "cast", "spheres"):
        names = list(_names(data(name)))
        assert sorted(set(names)) == sorted(names)


def _names(told: Data) -> Iterator[str]:
    for row in told["findings"]:
        yield row["rule"]
    for row in told.get("tooling", {}).get("findings", []):
        yield f"{row['casting']}: {row['rule']}"


def test_a_new_part_is_new_and_one_that_went_is_gone(told: Data) -> None:
    more = deepcopy(told)
    more["figures"]["parts"].append({**told["figures"]["parts"][0], "name": "slug"})
    new, gone = since(told, more), since(more, told)
    assert {row["state"] for row in new} == {"new"}
    assert {row["state"] for row in gone} == {"gone"}
    assert {row["what"].split(":")[0] for row in (*new, *gone)} == {"slug"}
    assert [row["after"] for row in new] == [row["before"] for row in gone]
    assert all(row["before"] is None for row in new)
    assert all(row["after"] is None for row in gone)


def test_a_figure_that_is_undefined_now_has_changed_and_is_not_gone(told: Data) -> None:
    (row,) = since(told, put(told, ("axes", 0, "to_pin_deg"), None))
    assert (row["state"], row["after"]) == ("changed", None)


def test_a_ball_that_got_castings_has_their_checks_as_new() -> None:
    cast = data("cast")
    bare = deepcopy(cast)
    del bare["tooling"]
    rows = since(bare, cast)
    assert {row["state"] for row in rows} == {"new"}
    assert len(rows) == 2 * len(cast["tooling"]["findings"])


@pytest.mark.parametrize("key", ["name", "revision", "date", "sha256"])
def test_another_identity_is_a_change_of_design(key: str, told: Data) -> None:
    (row,) = since(told, put(told, ("design", key), "other"))
    assert (row["kind"], row["what"], row["after"]) == ("design", key, "other")


def test_the_new_dossier_keeps_all_that_the_changes_were_worked_out_from(told: Data) -> None:
    """Who has only the new one can work them out again, as `verify` does."""
    after = put(told, ("figures", "mass_lb"), 14.0)
    first = json.loads(json.dumps(changed(earlier_of(told), after)))
    assert changed(Earlier(first["design"], first["told"]), after) == first


def test_changes_of_the_new_dossier_are_no_figures_of_the_next_one(told: Data) -> None:
    with_changes = {**told, "changed": changed(earlier_of(told), told)}
    assert earlier_of(with_changes) == earlier_of(told)


def test_values_are_those_of_the_data_digit_for_digit(told: Data) -> None:
    """A figure of the drilled ball is not overlaid by that of a rule on the ball before."""
    kept = earlier_of(told).told
    figures, centre = told["figures"], told["figures"]["about_ball_centre"]
    assert kept["low RG, in"] == figures["rg_in"]["low"]
    assert kept["high RG, in"] == figures["rg_in"]["high"]
    assert kept["total differential, in"] == figures["total_differential_in"]
    assert kept["static imbalance, oz"] == figures["top_weight_oz"]
    assert kept["about the ball's centre, low RG, in"] == centre["rg_in"]["low"]


def test_a_page_that_lacks_figures_is_no_earlier_dossier() -> None:
    with pytest.raises(KeyError):
        earlier_of({"design": {"name": "Dunlin"}})
