"""The sections of the document: which there are, what each says, and what none may say."""

from __future__ import annotations

import base64
import io
import re
from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

import pytest
from PIL import Image

from pipeline.dossier import pictures as pictures_module
from pipeline.dossier.axes_section import axes_section
from pipeline.dossier.closing_sections import cautions_section, signing_section
from pipeline.dossier.document import (
    Chart,
    Column,
    Document,
    Section,
    SignOff,
    Space,
    Still,
    Table,
    Terms,
    Words,
)
from pipeline.dossier.glossary_section import glossary_section
from pipeline.dossier.identity_section import identity_section
from pipeline.dossier.limits_section import limits_section
from pipeline.dossier.line_section import line_section
from pipeline.dossier.materials_section import materials_section
from pipeline.dossier.pictures import pictures
from pipeline.dossier.routes_section import routes_section
from pipeline.dossier.section_list import document_of
from pipeline.dossier.sensitivities import FIGURES
from pipeline.dossier.sensitivity_section import sensitivity_section
from pipeline.dossier.space_section import space_section
from pipeline.dossier.sphere_section import sphere_section
from pipeline.dossier.tooling_section import tooling_section
from tests.pipeline.dossier.block_texts import blocks_of, cells, said, table_of, texts_of
from tests.pipeline.dossier.told_balls import TEXTS, Data, data, found

MINUS = "\N{MINUS SIGN}"
OPTIONAL = {
    "uniform": set(),
    "spheres": {"line", "sphere"},
    "leaning": {"sphere"},
    "crossed": {"sphere"},
    "cast": {"line", "tooling"},
    "gripped": {"drilled", "sphere"},
    "bored": {"drilled", "sphere"},
}
ALWAYS = ["verdict", "ball", "identity", "materials", "mass", "axes", "routes", "limits",
          "sensitivities", "glossary", "cautions", "sign-off"]  # fmt: skip


@pytest.fixture(params=list(TEXTS))
def told(request: pytest.FixtureRequest) -> Data:
    return data(request.param)


@pytest.fixture
def document(told: Data) -> Document:
    return document_of(told)


def there(section: Section | None) -> Section:
    assert section is not None
    return section


def read(text: str) -> Decimal:
    assert "-" not in text
    return Decimal(text.replace(MINUS, "-"))


# --- the document


@pytest.mark.parametrize("name", list(OPTIONAL))
def test_only_what_a_design_has_makes_a_section(name: str) -> None:
    keys = [section.key for section in document_of(data(name)).sections]
    assert {*keys} - {*ALWAYS} == OPTIONAL[name]
    assert [key for key in keys if key in ALWAYS] == ALWAYS


def test_the_verdict_comes_first_and_the_lines_to_sign_last(document: Document) -> None:
    assert document.sections[0].key == "verdict"
    assert document.sections[-1].key == "sign-off"


def test_the_title_is_name_and_revision_and_the_date_that_of_the_design() -> None:
    found_of = {name: document_of(data(name)) for name in ("leaning", "spheres")}
    assert [(d.title, d.date) for d in found_of.values()] == [
        ("Dunlin, revision A", "2026-11-25"),
        ("Spheres, revision A", ""),
    ]


def test_no_text_is_a_leftover_of_the_program(document: Document) -> None:
    for block in blocks_of(document):
        for text in texts_of(block):
            assert not re.search(r"\b(None|nan|NaN|inf|True|False|dict|float64|array)\b", text)
            assert not set("{}") & set(text), text


def test_no_number_has_a_hyphen_for_a_minus(document: Document) -> None:
    for block in blocks_of(document):
        if isinstance(block, Table):
            for row in block.rows:
                for cell, column in zip(row, block.columns, strict=True):
                    if column.number:
                        assert not re.search(r"(^|[\s(])-\d", cell.text), cell.text


def test_a_column_of_numbers_holds_numbers(document: Document) -> None:
    for table in (block for block in blocks_of(document) if isinstance(block, Table)):
        for row in table.rows:
            for cell, column in zip(row, table.columns, strict=True):
                if column.number and cell.verdict is None:
                    bare = re.sub(rf"[\d.+{MINUS},\s]|e{MINUS}|in|lb|oz|deg", "", cell.text)
                    known = {"undefined", "new", "gone", "changed", "symmetrical", "asymmetrical",
                             "spherical", "below the last digit"}  # fmt: skip
                    assert bare == "" or cell.text in known, (table.caption, cell.text)


def test_tables_are_as_wide_as_their_heads_and_name_every_row(document: Document) -> None:
    for table in (block for block in blocks_of(document) if isinstance(block, Table)):
        assert {len(row) for row in table.rows} <= {len(table.columns)}, table.caption
        assert all(row[0].text.strip() for row in table.rows), table.caption
        assert table.caption.strip()


def test_every_chart_and_picture_tells_its_story_in_words(document: Document) -> None:
    for block in blocks_of(document):
        if isinstance(block, Chart | Still):
            assert block.alt.strip()
            assert block.caption.strip()
        if isinstance(block, Chart):
            assert re.search(r"\d", block.alt), block.key
            assert len(block.alt.split()) >= 8, block.key


def test_every_sentence_has_words(document: Document) -> None:
    for block in blocks_of(document):
        if isinstance(block, Words):
            assert block.text.strip()
            assert "  " not in block.text
            assert not re.search(r"\.\.(?!\.)|;\.|,\.|: \.", block.text), block.text


def test_keys_of_sections_and_of_charts_are_plain_words(document: Document) -> None:
    keys = [section.key for section in document.sections]
    keys += [block.key for block in blocks_of(document) if isinstance(block, Chart)]
    assert [key for key in keys if not re.fullmatch(r"[a-z]+(-[a-z0-9]+)*", key)] == []


def test_keys_of_sections_and_of_charts_are_unique(document: Document) -> None:
    """They are places to go to on the page: two of one key, and a link goes to the first."""
    keys = [section.key for section in document.sections]
    keys += [block.key for block in blocks_of(document) if isinstance(block, Chart)]
    assert sorted(keys) == sorted(set(keys))


# --- pictures


def png() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (2, 2), "#CFC9BC").save(out, "PNG")
    return out.getvalue()


class Unrendered:
    """A renderer that draws nothing, for the tests of what is told of pictures."""

    def __enter__(self) -> Unrendered:
        return self

    def __exit__(self, *_: object) -> None:
        pass

    def send(self, _: object) -> None:
        pass

    def fetch(self) -> None:
        pass


@pytest.fixture(scope="module")
def rows() -> Iterator[dict[str, list[dict[str, Any]]]]:
    """What is told of the pictures of balls, with blank ones in their place."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pictures_module, "Renderer", Unrendered)
        for name in ("job_of", "layers_of", "flattened", "lay_out"):
            patch.setattr(pictures_module, name, lambda *_, **__: None)
        scene = SimpleNamespace(name="View", notes=())
        views = dict.fromkeys(pictures_module._VIEWS, lambda *_, **__: scene)
        patch.setattr(pictures_module, "_VIEWS", views)
        patch.setattr(pictures_module, "DRILLED_VIEWS", defaultdict(lambda: lambda *_: scene))
        bands = SimpleNamespace(words=("1 deg and more",), shares=("100 %",))
        for name, made in (
            ("shown", scene),
            ("caption_of", "The ball, 8.55 in wide."),
            ("draft_bands", bands),
            ("png_of", png()),
            ("draft_map", png()),
            ("place_map", png()),
        ):
            patch.setattr(pictures_module, name, lambda *_, made=made: made)
        yield {name: [one.row for one in pictures(found(name))] for name in ("gripped", "cast")}


@pytest.mark.parametrize("name", ["gripped", "cast"])
def test_no_two_pictures_have_one_key(name: str, rows: dict[str, list[dict[str, Any]]]) -> None:
    keys = [row["key"] for row in rows[name]]
    assert sorted(keys) == sorted(set(keys))


@pytest.mark.parametrize("name", ["gripped", "cast"])
def test_every_picture_stands_in_the_document_once(
    name: str, rows: dict[str, list[dict[str, Any]]]
) -> None:
    document = document_of(data(name) | {"pictures": rows[name]})
    shown = [block.key for block in blocks_of(document) if isinstance(block, Still)]
    assert sorted(shown) == sorted(row["key"] for row in rows[name])
    assert all(row["alt"].strip() and row["caption"].strip() for row in rows[name])


def test_pictures_in_the_place_of_space_are_those_of_that_place() -> None:
    told_of = data("gripped")
    (space,) = space_section(told_of).blocks
    assert isinstance(space, Space)
    due = [row["key"] for row in told_of["pictures"] if row["place"] == "space"]
    assert [still.key for still in space.stills] == due


# --- one by one


def test_identity_tells_every_hash_and_version(told: Data) -> None:
    (terms,) = (b for b in identity_section(told).blocks if isinstance(b, Terms))
    pairs = dict(terms.pairs)
    design = told["design"]
    assert pairs["design"] == design["name"]
    assert pairs["SHA-256 of the design file"] == design["sha256"]
    assert pairs["date of the design"] == (design["date"] or "none given")
    for one in design["files"]:
        assert pairs[f"SHA-256 of {one['name']}"] == one["sha256"]
    for name, version in told["versions"].items():
        assert pairs[f"version of {name}"] == version


def test_identity_tells_the_hash_of_a_file_that_the_design_names() -> None:
    told_of = data("spheres")
    told_of["design"]["files"] = [{"name": "ball.yaml", "sha256": "ab" * 32, "base64": ""}]
    assert f"SHA-256 of ball.yaml\n{'ab' * 32}" in said(identity_section(told_of))


def test_parts_are_told_digit_for_digit_with_what_was_asked_of_them() -> None:
    told_of = data("gripped")
    rows_of = cells(table_of(materials_section(told_of), "Parts, as drilled"))
    asked = {part["name"]: part for part in told_of["design"]["parts"]}
    for part in told_of["figures"]["parts"]:
        role, shape, material, density, *numbers = rows_of[part["name"]]
        assert [read(text) for text in numbers] == [
            Decimal(repr(part[key])) for key in ("density_g_cm3", "volume_in3", "mass_lb")
        ]
        assert material == part["material"]
        own = asked.get(part["name"])
        due = ("grip insert", "", "given") if own is None else (
            own["role"], own["shape"], own["density"]
        )  # fmt: skip
        assert (role, shape, density) == due
    assert list(rows_of) == [part["name"] for part in told_of["figures"]["parts"]]


def test_a_density_that_was_solved_is_told_so() -> None:
    rows_of = cells(table_of(materials_section(data("spheres")), "Parts"))
    assert {name: row[3] for name, row in rows_of.items()} == {
        "slug": "given", "inner core": "given", "outer core": "solved", "cover": "given",
    }  # fmt: skip


def test_the_designers_words_are_told_as_theirs() -> None:
    text = said(materials_section(data("leaning")))
    assert "held against nothing" in text
    assert "“The core leans.”" in text
    assert "“inner core: It leans.”" in text


def test_a_design_without_words_of_its_designer_has_none() -> None:
    assert "designer" not in said(materials_section(data("spheres")))


def test_axes_are_told_digit_for_digit_or_undefined(told: Data) -> None:
    section = axes_section(told)
    vectors = cells(table_of(section, "Unit vectors"))
    for name in ("low", "intermediate", "high"):
        axis = told["figures"]["axes"][name]
        text = vectors[f"{name}-RG axis"][1]
        if axis is None:
            assert text == "undefined"
        else:
            assert [read(word) for word in text.split(", ")] == [Decimal(repr(x)) for x in axis]
    table = table_of(section, "Angles")
    assert len({column.name for column in table.columns}) == len(table.columns)
    for row, (name, angles) in zip(told["axes"], cells(table).items(), strict=True):
        assert name == f"{row['axis']}-RG axis"
        due = [value for key, value in row.items() if key != "axis"]
        assert [None if a == "undefined" else float(read(a)) for a in angles] == due


def test_why_an_axis_is_undefined_is_said() -> None:
    notes = {name: said(axes_section(data(name))) for name in ("spheres", "uniform", "leaning")}
    assert "Two RGs are one" in notes["spheres"]
    assert "All three RGs are one" in notes["uniform"]
    assert "undefined" not in notes["leaning"]


def test_routes_are_told_with_how_and_within(told: Data) -> None:
    routes = told["figures"]["routes"]
    rows_of = cells(table_of(routes_section(told), "RG about the centre"))
    assert list(rows_of) == list(routes)
    for name, (how, *radii, within) in rows_of.items():
        assert how
        assert [read(text) for text in radii] == [
            Decimal(repr(v)) for v in routes[name]["rg_in"].values()
        ]
        assert float(within.replace(MINUS, "-")) == routes[name]["error_bound_rg_in"]


def test_routes_that_agree_and_those_that_do_not_are_told_so() -> None:
    told_of = data("spheres")
    assert "agree within their error bounds" in said(routes_section(told_of))
    told_of["routes_disagree"] = ["moments and mesh differ by 1.00e-02 in of RG"]
    section = routes_section(told_of)
    fails = [b.text for b in section.blocks if isinstance(b, Words) and b.manner == "fail"]
    assert fails == ["moments and mesh differ by 1.00e-02 in of RG."]
    assert "agree within" not in said(section)


def test_every_rule_is_told_with_its_limit_its_source_and_how_sure_it_is(told: Data) -> None:
    section = limits_section(told)
    table, sources = table_of(section, "Rules, figures"), cells(table_of(section, "Where each"))
    assert [row[0].text for row in table.rows] == [row["rule"] for row in told["findings"]]
    for row, cells_of in zip(told["findings"], table.rows, strict=True):
        assert (cells_of[2].text, cells_of[4].verdict) == (row["limit"], row["verdict"])
        assert cells_of[5].text == row["note"]
        source, how = sources[row["rule"]]
        assert source == row["source"]
        assert how


def test_only_the_governing_body_certifies(told: Data) -> None:
    assert "Only the governing body certifies a ball" in said(limits_section(told))


def test_the_line_tells_every_weight_and_counts_those_that_hold() -> None:
    told_of = data("spheres")
    line = told_of["line"]
    line["weights"][1] |= {"met": False, "why": "low RG is 0.07 in above its window"}
    line["weights"][2] |= {"met": False, "why": "no such ball", "figures": {}, "densities": {}}
    section = there(line_section(told_of))
    met = sum(row["met"] for row in line["weights"])
    assert f"{met} of {len(line['weights'])} weights" in said(section)
    rows_of = cells(table_of(section, "Figures by ball weight"))
    for row in line["weights"]:
        held, *figures, size = rows_of[f"{row['weight_lb']:g} lb"]
        assert held == ("yes" if row["met"] else "no")
        due = [row["figures"].get(key) for key in (*FIGURES, "core_mass_lb")]
        assert [float(read(text)) if text else None for text in figures] == due
        assert (size == "") == (not row["figures"])
    assert "15 lb: low RG is 0.07 in above its window" in said(section)


def test_a_design_without_a_line_has_no_such_section() -> None:
    assert line_section(data("leaning")) is None


def test_the_map_of_a_ball_with_one_rg_is_left_out() -> None:
    there_is = {name: sphere_section(data(name)) is not None for name in ("uniform", "leaning")}
    assert there_is == {"uniform": False, "leaning": True}


def test_sensitivities_are_told_with_their_sign_and_step() -> None:
    told_of = data("leaning")
    rows_of = cells(table_of(sensitivity_section(told_of), "Change of each figure"))
    assert list(rows_of) == [row["name"] for row in told_of["sensitivities"]]
    for row in told_of["sensitivities"]:
        step, *changes = rows_of[row["name"]]
        assert step == row["step"]
        for text, key in zip(changes, FIGURES, strict=True):
            assert float(read(text)) == row[key]
            assert text.startswith("+") == (row[key] > 0.0)


def test_a_ball_whose_sensitivities_are_not_known_says_why() -> None:
    section = sensitivity_section(data("crossed"))
    assert "only solids can weigh" in said(section)
    assert [type(block) for block in section.blocks] == [Words]


def test_no_table_of_any_ball_is_without_rows(document: Document) -> None:
    for block in blocks_of(document):
        if isinstance(block, Table):
            assert block.rows, block.caption


def test_every_check_of_a_casting_stands_in_the_table_of_that_casting() -> None:
    told_of = data("cast")
    section = there(tooling_section(told_of))
    rows_of = told_of["tooling"]["findings"]
    listed = []
    for table in (b for b in section.blocks if isinstance(b, Table)):
        if table.caption.startswith("Checks of "):
            casting = table.caption.removeprefix("Checks of ").replace("the ball", "ball")
            listed += [(casting, row[0].text, row[4].verdict) for row in table.rows]
    assert sorted(listed, key=str) == sorted(
        ((row["casting"], row["rule"], row["verdict"]) for row in rows_of), key=str
    )


def test_every_fact_of_a_casting_is_told() -> None:
    told_of = data("cast")
    section = there(tooling_section(told_of))
    for casting in told_of["tooling"]["castings"]:
        rows_of = cells(table_of(section, f"How {casting['name']} is cast"))
        assert {label: value for label, (value,) in rows_of.items()} == casting["facts"]


def test_words_of_drilling_and_casting_are_told_only_where_there_is_some() -> None:
    names: dict[str, set[str]] = {}
    for name in ("spheres", "gripped", "cast"):
        (terms,) = glossary_section(data(name)).blocks
        assert isinstance(terms, Terms)
        listed = [word.lower() for word, _ in terms.pairs]
        assert listed == sorted(listed)
        names[name] = set(listed)
    assert names["gripped"] - names["spheres"] >= {"axis point", "midline", "grip centre"}
    assert names["cast"] - names["spheres"] >= {"draft", "undercut"}
    assert not names["spheres"] & {"axis point", "draft"}


def test_cautions_of_drilling_and_moulds_are_told_only_where_there_is_some() -> None:
    counts = {}
    for name in ("spheres", "gripped", "cast"):
        section = cautions_section(data(name))
        assert all(isinstance(b, Words) and b.manner == "caution" for b in section.blocks)
        counts[name] = len(section.blocks)
    assert counts["gripped"] == counts["cast"] == counts["spheres"] + 1


def test_the_lines_to_sign_on_are_blank() -> None:
    section = signing_section(data("spheres"))
    (lines,) = (block for block in section.blocks if isinstance(block, SignOff))
    assert lines.roles == ("prepared", "checked", "approved")
    assert lines.columns == ("name", "signature", "date")
    assert said(section).count("2026") == 0


def test_no_section_names_a_column_twice(document: Document) -> None:
    for table in (block for block in blocks_of(document) if isinstance(block, Table)):
        names = [column.name for column in table.columns]
        assert sorted(names) == sorted(set(names)), table.caption
        assert isinstance(table.columns[0], Column)


def test_files_of_the_design_are_not_spelled_out_on_the_page() -> None:
    told_of = data("spheres")
    secret = base64.b64encode(b"a file that lies in the data").decode()
    told_of["design"]["files"] = [{"name": "body.stl", "sha256": "ab" * 32, "base64": secret}]
    texts = [text for block in blocks_of(document_of(told_of)) for text in texts_of(block)]
    assert not [text for text in texts if secret in text]
